"""Typing what a dentist signed on paper; ``confirming`` has what a second member does with it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils import timezone

from labcases.domain import access, files, gates, history, people, prescription, question, versions
from labcases.domain import case as cases
from labcases.domain.files import AlreadyThere
from labcases.domain.gates import Missing
from labcases.domain.on_paper import of_draft
from labcases.domain.pictures import Picture
from labcases.domain.prescription import NotReady
from labcases.enums import AttachmentKind, Role, Side
from labcases.enums.signed_papers import OPEN_PAPERS, PaperSays, PaperState
from labcases.models import (
    Attachment,
    Case,
    Organisation,
    Question,
    SignedPaper,
    User,
)
from labcases.models.files import PHOTOGRAPHS

TYPE = "transcribe a signed paper"
PART = "signed paper"


class NotNow(Exception):
    """The paper is not at the point where this could be done; the text says what is."""


class OfficeIsWriting(Exception):
    """Somebody of the office writes this revision; a paper does not go over it."""


# --- beginning ---------------------------------------------------------------------------------


def laboratories(user: User) -> list[Organisation]:
    """The laboratories for which a person opens cases from papers."""
    return [
        one
        for one in people.laboratories(user)
        if access.may_in(user, "open a case from a paper", one)
    ]


def open_case(
    *,
    office: Organisation,
    laboratory: Organisation,
    patient_code: str,
    surgery_on: date | None,
    by: User,
) -> Case:
    """Open a case for an office that sent paper; its first revision is typed from that paper."""
    with history.turn(laboratory):
        case = cases.open_case(
            office=office,
            laboratory=laboratory,
            patient_code=patient_code,
            surgery_on=surgery_on,
            by=by,
        )
        open_paper(case, PaperSays.PRESCRIPTION, by, prescription=case.prescription)
    return case


def begin(*, case: Case, by: User) -> SignedPaper:
    """Type a paper into the first draft, or into the next revision of what is in force.

    Raises
    ------
    OfficeIsWriting
        Somebody of the office has written into the draft already.
    prescription.TooLateToRevise
        The case is in processing or later.
    """
    with history.turn(case):
        locked = Case.objects.select_for_update().get(pk=case.pk)
        draft = locked.draft_revision
        if draft and (paper := of_draft(draft)):
            return paper
        if draft and draft.version > 1:
            raise OfficeIsWriting(
                f"{draft.changed_by} has written into revision {draft.revision} already. Ask the "
                "office to sign it, or to say in a question that the paper counts."
            )
        row = draft or prescription.revise(case=locked, by=by)
        return open_paper(locked, PaperSays.PRESCRIPTION, by, prescription=row)


def open_paper(case: Case, says: PaperSays, by: User, **more: Any) -> SignedPaper:
    """Begin to type a paper. Call it inside ``history.turn``."""
    paper = SignedPaper.objects.create(case=case, says=says, changed_by=by, **more)
    _log(paper, "began", by)
    return paper


def may_write(user: User, case: Case) -> bool:
    """Who writes the draft: the office, and who types it from a signed paper."""
    if access.may(user, "write a prescription", case):
        return True
    draft = case.draft_revision
    return bool(draft and access.may(user, TYPE, case) and of_draft(draft))


# --- typing ------------------------------------------------------------------------------------


def add_page(*, paper: SignedPaper, picture: Picture, by: User) -> Attachment:
    """Attach a page; one that stands in the case already is taken as it is.

    Raises
    ------
    NotNow
        The paper is confirmed or given up.
    files.NotAccepted
        The very file stands in the case as something that is no paper.
    """
    only(paper, *OPEN_PAPERS)
    kind = AttachmentKind.PAPER
    if paper.says == PaperSays.PRESCRIPTION:
        kind = AttachmentKind.PRESCRIPTION
    try:
        page = files.add(case=paper.case, kind=kind, upload=picture, by=by)
    except AlreadyThere:
        page = Attachment.objects.get(
            case=paper.case, sent_sha256=picture.sent_sha256, removed_at__isnull=True
        )
        if page.kind in PHOTOGRAPHS:
            raise
    paper.pages.add(page)
    return page


def lacks(paper: SignedPaper) -> list[Missing]:
    """What is open before a paper can be handed over to be confirmed, and confirmed."""
    found = gates.to_sign(paper.prescription) if paper.prescription else []
    if not paper.in_view:
        found.append(Missing("Attach a picture of the signed page.", "paper", "upload"))
    return found


def hand_over(
    *,
    paper: SignedPaper,
    version: int,
    signed_name: str,
    licence_number: str,
    signed_on: date,
    by: User,
) -> SignedPaper:
    """Say that everything is typed; a second member of the laboratory compares and confirms.

    Raises
    ------
    NotNow
        It is handed over, confirmed or given up already.
    NotReady
        No page is attached, or the paper leaves open what a signature has to cover.
    versions.EditConflict
        Somebody else handed it over, or sent it back, first.
    """
    only(paper, PaperState.TYPING)
    missing = lacks(paper)
    if missing:
        raise NotReady(missing)
    return save_paper(
        paper,
        act="handed over",
        version=version,
        by=by,
        reason=named(paper),
        values={
            "state": PaperState.WAITING,
            "signed_name": signed_name,
            "licence_number": licence_number,
            "signed_on": signed_on,
            "typed_by": by,
            "typed_at": timezone.now(),
            "said_digest": digest_of(paper),
        },
    )


def ask_office(*, paper: SignedPaper, field: str, about: str, text: str, by: User) -> Question:
    """Ask the office about a field that the paper leaves open; confirming the paper answers.

    Raises
    ------
    NotNow
        The same is asked already and not answered.
    """
    row = paper.prescription
    if row is None or any(
        one.about == about and one.waits for one in row.questions.filter(closed_at__isnull=True)
    ):
        raise NotNow(f"The office is asked about {about} already, and has not answered.")
    with history.turn(paper.case):
        asked = question.ask(
            case=paper.case, about=about, text=text, waits_for=Side.OFFICE, clinical=True, by=by
        )
        return question.will_answer(question=asked, row=row, by=by)


def give_up(*, paper: SignedPaper, version: int, reason: str, by: User) -> SignedPaper:
    """Stop typing a paper that does not count; the draft stays, and the office may write it."""
    if not reason.strip():
        raise ValueError("Give the reason why the paper is not typed any further.")
    only(paper, *OPEN_PAPERS)
    return save_paper(
        paper,
        act="gave up",
        version=version,
        by=by,
        reason=reason.strip(),
        values={"state": PaperState.GIVEN_UP, "given_up_reason": reason.strip()},
    )


def save_paper(
    paper: SignedPaper,
    *,
    act: str,
    version: int,
    by: User,
    reason: str,
    values: Mapping[str, Any],
) -> SignedPaper:
    """Bring a paper to its next state, unless somebody else did so first."""
    return versions.save_row(
        row=paper,
        version=version,
        by=by,
        case=paper.case,
        part=PART,
        act=act,
        reason=reason,
        values=values,
    )


def digest_of(paper: SignedPaper) -> str:
    """What stands for everything that was typed from a paper."""
    if paper.prescription:
        return prescription.digest(paper.prescription)
    return hashlib.sha256(json.dumps(paper.said, sort_keys=True).encode()).hexdigest()


def only(paper: SignedPaper, *states: PaperState) -> None:
    if paper.state in states:
        return
    if paper.state == PaperState.CONFIRMED:
        raise NotNow(f"{paper.confirmed_by} has confirmed this paper already.")
    raise NotNow(f"This paper is {paper.get_state_display().lower()}. Look at it again.")


def named(paper: SignedPaper) -> str:
    row = paper.prescription
    return f"revision {row.revision}" if row else str(paper.get_says_display()).lower()


def _log(paper: SignedPaper, act: str, by: User) -> None:
    history.write(case=paper.case, by=by, act=act, part=PART, reason=named(paper))


def signatories(case: Case) -> list[dict[str, str]]:
    """The dentists whose names a paper of this office may bear, as far as they are known."""
    office = case.office
    named = [
        {"name": one.name, "licence_number": one.licence_number}
        for one in office.paper_dentists.all()
    ]
    known = office.memberships.filter(active=True, role=Role.DENTIST).select_related("user")
    return named or [
        {"name": one.user.full_name, "licence_number": one.user.licence_number} for one in known
    ]
