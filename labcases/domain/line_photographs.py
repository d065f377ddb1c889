"""Binding photographs of the case to lines of the set-up log."""

from __future__ import annotations

from typing import Any

from labcases.domain import files, history
from labcases.enums import AttachmentKind
from labcases.models import Attachment, LinePhotograph, SetUpEntry, User
from labcases.models.files import PHOTOGRAPHS


class NotBound(Exception):
    """The photograph stays where it is; the text says why and what to do."""


def to_choose(entry: SetUpEntry, user: User) -> list[Attachment]:
    """Photographs in view that this person sees and that are not at this line yet, newest first."""
    held = {row.photograph_id for row in entry.photographs.all()}
    found = files.in_view(entry.case, kind=AttachmentKind.PHOTOGRAPH)
    return [row for row in reversed(found) if row.pk not in held and files.may_see(user, row)]


def bind(*, entry: SetUpEntry, photograph: Attachment, by: User) -> LinePhotograph:
    """Bind a photograph that the case has to a line.

    Raises
    ------
    NotBound
        It is of another case, no photograph, out of view, or at this line already; or the line
        is struck out.
    """
    case = entry.case
    with history.turn(case):
        fresh = Attachment.objects.filter(
            pk=photograph.pk,
            case=case,
            kind__in=PHOTOGRAPHS,
            removed_at__isnull=True,
        ).first()
        if fresh is None:
            raise NotBound("This photograph is not in view. Choose one of the list.")
        if SetUpEntry.objects.filter(pk=entry.pk, struck_at__isnull=False).exists():
            raise NotBound("The line is struck out. Bind the photograph to a line that stands.")
        row, made = LinePhotograph.objects.get_or_create(
            entry=entry, photograph=fresh, defaults={"by": by}
        )
        if not made:
            raise NotBound("This photograph stands at the line already.")
        history.write(
            case=case,
            by=by,
            act="photograph bound",
            part="set-up log",
            changes={
                "photograph": [None, fresh.words],
                "line": [None, str(entry.get_act_display()).lower()],
            },
            row=history.made(row),
        )
    return row


def add(*, entry: SetUpEntry, by: User, values: dict[str, Any]) -> LinePhotograph:
    """Add a photograph to the case and bind it to a line; both, or none.

    ``values`` are what ``domain.files.add`` takes beside case and person.

    Raises
    ------
    labcases.domain.files.NotAccepted
        The file is none that is taken.
    NotBound
        What was added is no photograph, or the line is struck out.
    """
    if values.get("kind") not in PHOTOGRAPHS:
        raise NotBound("Choose what the photograph shows; a paper stands with the papers.")
    with history.turn(entry.case):
        added = files.add(case=entry.case, by=by, **values)
        return bind(entry=entry, photograph=added, by=by)
