"""Photographs and papers of a case: adding, agreeing to, and taking out of view."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable
from datetime import timedelta

from django.core.files import File
from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage, default_storage
from django.db import IntegrityError
from django.utils import timezone

from labcases.domain import access, history, pictures
from labcases.domain.pictures import NotAccepted, Picture
from labcases.enums import AttachmentKind, PhotographView, Position
from labcases.enums.signed_papers import PaperState
from labcases.models import Attachment, Case, User
from labcases.models.files import FOLDER, OF_THE_FACE, PHOTOGRAPHS

__all__ = ["NotAccepted", "Picture", "add", "agree", "in_view", "take_out"]

PART = "photographs and papers"
#: A file is stored a moment before its row: younger ones may still get theirs.
YOUNG = timedelta(hours=1)


class AlreadyThere(NotAccepted):
    """The same file stands in this case already."""


class AgreementMissing(NotAccepted):
    """A laboratory does not keep a face without the patient's agreement."""


class AlreadyTakenOut(Exception):
    """Somebody took it out of view first."""


class HoldsSignature(Exception):
    """A signature rests on this page, so it stays in view."""


class FileLost(Exception):
    """The stored file is gone, or is not the one that was stored."""


def add(
    *,
    case: Case,
    kind: str,
    upload: File[bytes] | Picture,
    by: User,
    view: str = "",
    caption: str = "",
    agreed: bool = False,
) -> Attachment:
    """Add a photograph or a paper to a case.

    Who may is ``access.MAY["add a photograph or paper"]``; the caller has asked.

    Parameters
    ----------
    case : Case
        The case.
    kind : str
        ``AttachmentKind``.
    upload : File or Picture
        The file that was sent, or what ``pictures.read`` made of it already.
    by : User
        Who adds it.
    view : str
        ``PhotographView``: for photographs, and only for them.
    caption : str
        What a reader should know, without names.
    agreed : bool
        The person says that the patient agreed to showing this face to the laboratory.

    Returns
    -------
    Attachment
        The row, with both files stored.

    Raises
    ------
    NotAccepted
        The file is none that is taken (the text says why and what to do), stands in the case
        already (``AlreadyThere``), or shows a face that a laboratory may not have yet
        (``AgreementMissing``). Nothing was stored.
    """
    kind = AttachmentKind(kind)
    view = PhotographView(view) if kind in PHOTOGRAPHS else ""
    of_the_face = view in OF_THE_FACE
    if of_the_face and kind == AttachmentKind.FINAL_WAX:
        raise NotAccepted(
            "A photograph of the final wax shows teeth and casts, no face. Choose another view, or "
            "add it as a photograph."
        )
    if of_the_face and not agreed and not access.positions(by, case) & access.OFFICE:
        raise AgreementMissing(
            "A laboratory keeps a photograph of a face only when the patient agreed. Tick that "
            "the patient agreed, or leave this photograph with the office."
        )
    picture = upload if isinstance(upload, Picture) else pictures.read(upload)
    row = Attachment(
        case=case,
        kind=kind,
        view=view,
        caption=caption.strip(),
        by=by,
        content_type=picture.content_type,
        width_px=picture.width_px,
        height_px=picture.height_px,
        size_bytes=len(picture.full),
        sha256=hashlib.sha256(picture.full).hexdigest(),
        small_sha256=hashlib.sha256(picture.small).hexdigest(),
        sent_sha256=picture.sent_sha256,
        agreement_by=by if of_the_face and agreed else None,
        agreement_at=timezone.now() if of_the_face and agreed else None,
    )
    _refuse_twice(row)
    try:
        with history.turn(case):
            _store(row, picture)
            row.save(force_insert=True)
            history.write(
                case=case,
                by=by,
                act="added",
                part=PART,
                changes={"what": [None, row.words], **_agreed(row)},
                row=history.made(row),
            )
    except IntegrityError:
        _throw_away(row)
        _refuse_twice(row)
        raise
    except BaseException:
        _throw_away(row)
        raise
    return row


def agree(*, attachment: Attachment, by: User) -> Attachment:
    """Store that the patient agreed to showing this face to the laboratory; once is enough."""
    with history.turn(attachment.case):
        written = Attachment.objects.filter(
            pk=attachment.pk,
            view__in=OF_THE_FACE,
            agreement_at__isnull=True,
            removed_at__isnull=True,
        ).update(agreement_at=timezone.now(), agreement_by=by)
        attachment.refresh_from_db()
        if written:
            history.write(
                case=attachment.case,
                by=by,
                act="confirmed",
                part=PART,
                changes={"what": [None, attachment.words]},
            )
    return attachment


def take_out(*, attachment: Attachment, reason: str, by: User) -> Attachment:
    """Take a photograph or paper out of view; its file is kept for the time of keeping.

    Raises
    ------
    AlreadyTakenOut
        Somebody did it first.
    HoldsSignature
        It is the page of a signed paper that was confirmed.
    ValueError
        No reason is given.
    """
    if not reason.strip():
        raise ValueError("Give the reason why it is taken out of view.")
    if holds_signature(attachment):
        raise HoldsSignature(
            "A signature rests on this page, so it stays in view as long as the case is kept."
        )
    with history.turn(attachment.case):
        written = Attachment.objects.filter(pk=attachment.pk, removed_at__isnull=True).update(
            removed_at=timezone.now(), removed_by=by, removed_reason=reason.strip()
        )
        if not written:
            raise AlreadyTakenOut("Somebody else took this out of view already.")
        history.write(
            case=attachment.case,
            by=by,
            act="taken out",
            part=PART,
            changes={"what": [attachment.words, "out of view"]},
            reason=reason.strip(),
            row=history.made(attachment),
        )
    attachment.refresh_from_db()
    return attachment


def put_back(*, attachment: Attachment) -> None:
    """Bring back into view what was taken out by mistake.

    Call it inside the transaction of the undo, which writes the entry (``domain/undo.py``).

    Raises
    ------
    AlreadyThere
        The same file was added again since.
    """
    _refuse_twice(attachment)
    Attachment.objects.filter(pk=attachment.pk).update(
        removed_at=None, removed_by=None, removed_reason=""
    )


def in_view(case: Case, *, kind: str = "", views: Iterable[str] = ()) -> list[Attachment]:
    """What stands in a case and was not taken out, the first first: for gates and counts.

    Parameters
    ----------
    case : Case
        The case.
    kind : str, optional
        Only this ``AttachmentKind``.
    views : iterable of str, optional
        Only photographs of these ``PhotographView``.
    """
    wanted = set(views)
    return [
        row
        for row in case.attachments.select_related("by")
        if row.removed_at is None
        and (not kind or row.kind == kind)
        and (not wanted or row.view in wanted)
    ]


def may_see(user: User, attachment: Attachment, held: frozenset[Position] | None = None) -> bool:
    """Whether a person who sees the case also sees this picture.

    What was taken out of view nobody sees; a face without the patient's agreement only the
    office does. ``held`` spares the question where a person stands, for many rows of a case.
    """
    if attachment.removed_at:
        return False
    held = access.positions(user, attachment.case) if held is None else held
    return bool(held & access.OFFICE) or bool(held and not attachment.held_back)


def may_take_out(
    user: User, attachment: Attachment, held: frozenset[Position] | None = None
) -> bool:
    """The person who added it, and the people who may take out anybody's."""
    if attachment.removed_at or holds_signature(attachment):
        return False
    held = access.positions(user, attachment.case) if held is None else held
    act = "add a photograph or paper" if attachment.by_id == user.pk else "take out any picture"
    return bool(held & access.MAY[act])


def holds_signature(attachment: Attachment) -> bool:
    """Whether it is the page of a signed paper that was confirmed."""
    if attachment.kind in PHOTOGRAPHS:
        return False
    return any(paper.state == PaperState.CONFIRMED for paper in attachment.signed_papers.all())


def content(attachment: Attachment, *, small: bool = False) -> bytes:
    """The stored bytes, held against the digest of when they were stored.

    Raises
    ------
    FileLost
        The file is gone, or somebody changed it on the disk.
    """
    stored = attachment.small if small else attachment.file
    digest = attachment.small_sha256 if small else attachment.sha256
    try:
        with stored.open("rb") as file:
            found = bytes(file.read())
    except FileNotFoundError:
        raise FileLost("The file of this picture is not where it was stored.") from None
    if hashlib.sha256(found).hexdigest() != digest:
        raise FileLost("The file of this picture is not the one that was stored.")
    return found


# --- files and rows in step ----------------------------------------------------------------


def without_row(*, older_than: timedelta = YOUNG) -> list[str]:
    """Names of stored files that no row knows, left by a process that was ended half-way."""
    known = {name for pair in Attachment.objects.values_list("file", "small") for name in pair}
    before = timezone.now() - older_than
    return [
        name
        for name in sorted(_stored())
        if name not in known and default_storage.get_modified_time(name) < before
    ]


def without_file() -> list[Attachment]:
    """Rows whose file is gone from the store."""
    there = _stored()
    return [
        row
        for row in Attachment.objects.select_related("case")
        if row.file.name not in there or row.small.name not in there
    ]


def erase(names: Iterable[str]) -> None:
    """Erase stored files that no row knows."""
    for name in names:
        default_storage.delete(name)


def _stored() -> set[str]:
    try:
        folders, _files = default_storage.listdir(FOLDER)
    except FileNotFoundError:
        return set()
    return {
        f"{FOLDER}/{folder}/{name}"
        for folder in folders
        for name in default_storage.listdir(f"{FOLDER}/{folder}")[1]
    }


def _refuse_twice(row: Attachment) -> None:
    twin = Attachment.objects.filter(
        case=row.case, sent_sha256=row.sent_sha256, removed_at__isnull=True
    ).first()
    if twin:
        raise AlreadyThere(
            f"This very file is in this case already ({twin.words}). Choose another file, or take "
            "the other one out of view first."
        )


def _agreed(row: Attachment) -> dict[str, list[str | None]]:
    return {"the patient's agreement": [None, "ticked"]} if row.agreement_at else {}


def _store(row: Attachment, picture: Picture) -> None:
    """Write both files to the disk for good, before the row that names them."""
    row.file.save("", ContentFile(picture.full), save=False)
    row.small.save("", ContentFile(picture.small), save=False)
    if not isinstance(default_storage, FileSystemStorage) or os.name != "posix":
        return
    for stored in (row.file, row.small):
        for path in (stored.path, os.path.dirname(stored.path)):
            descriptor = os.open(path, os.O_RDONLY)
            try:
                os.fsync(descriptor)
            finally:
                os.close(descriptor)


def _throw_away(row: Attachment) -> None:
    """Erase what was stored for a row that did not come to stand."""
    erase(stored.name for stored in (row.file, row.small) if stored.name)
