"""Packing, sending, taking in and counting boxes; boxes that are lost or not ours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django.db.models import F
from django.utils import timezone

from labcases.domain import access, gates, history, versions
from labcases.domain.gates import Missing
from labcases.enums import BoxContent, BoxDirection, Stage
from labcases.enums.boxes import BoxTrouble
from labcases.models import Box, BoxItem, Case, Disinfection, User


class MayNotLeave(Exception):
    """The box stays; ``items`` say what is missing."""

    def __init__(self, items: list[Missing]) -> None:
        self.items = items
        super().__init__(" ".join(item.text for item in items))


class AlreadyMoved(Exception):
    """The box was sent or taken in already."""


def save(
    *,
    case: Case,
    box: Box | None,
    version: int,
    direction: str,
    courier: str,
    tracking: str = "",
    items: Iterable[Mapping[str, Any]],
    by: User,
) -> Box:
    """Pack a box or pack it again; what is in it replaces what was in it.

    Raises
    ------
    AlreadyMoved
        It has left.
    """
    rows = [BoxItem(**item) for item in items]
    with history.turn(case):
        if box is None:
            box = Box.objects.create(
                case=case,
                direction=direction,
                courier=courier,
                tracking=tracking,
                packed_by=by,
                changed_by=by,
            )
            act = "packed"
        else:
            # As it stands now: what has left may be disinfected and counted, and is not replaced.
            box = Box.objects.get(pk=box.pk)
            if box.sent_at:
                raise AlreadyMoved("This box has left. Pack another one.")
            if Disinfection.objects.filter(item__box=box).exists():
                raise AlreadyMoved(
                    "A disinfection is logged of what is in this box, so its contents stay as they "
                    "are. Send it, and pack another box for the rest."
                )
            box = versions.save_row(
                row=box,
                version=version,
                by=by,
                case=case,
                part="box",
                values={"courier": courier, "tracking": tracking, "packed_at": timezone.now()},
            )
            box.items.all().delete()
            act = "packed again"
        changes = put_in(box, rows)
        history.write(case=case, by=by, act=act, part="box", changes=changes, row=history.made(box))
    return box


def put_in(box: Box, rows: list[BoxItem]) -> dict[str, list[Any]]:
    """Store what is in a box, and tell it as history has it."""
    for row in rows:
        row.box = box
    BoxItem.objects.bulk_create(rows)
    return {"contents": [None, ", ".join(str(row) for row in rows)]}


def unpack(*, box: Box) -> None:
    """Take a box apart that was packed by mistake and has not left.

    Call it inside the transaction of the undo, which writes the entry (``domain/undo.py``).
    """
    box.items.all().delete()
    box.delete()


def send(*, box: Box, by: User) -> Box:
    """Send a box that may leave.

    Raises
    ------
    MayNotLeave
        Something was not disinfected for as long as its label says, or the box is empty.
    AlreadyMoved
        Somebody sent it first.
    """
    items = list(gates.box_may_leave(box))
    stage = leaves_with(box)
    if stage:
        items.append(Missing(f"This box leaves when the case is {stage.value}.", "case"))
    if items:
        raise MayNotLeave(items)
    with history.turn(box.case):
        written = Box.objects.filter(pk=box.pk, sent_at__isnull=True).update(
            sent_at=timezone.now(), sent_by=by
        )
        if not written:
            raise AlreadyMoved("Somebody else sent this box already.")
        history.write(
            case=box.case, by=by, act="sent", part="box", changes={"box": [None, box.direction]}
        )
    box.refresh_from_db()
    return box


def receive(*, box: Box, counts: Mapping[int, int], by: User) -> Box:
    """Take in a box and store what was counted, item by item (primary key -> count)."""
    with history.turn(box.case):
        written = Box.objects.filter(
            pk=box.pk, sent_at__isnull=False, received_at__isnull=True, trouble=""
        ).update(received_at=timezone.now(), received_by=by)
        if not written:
            raise AlreadyMoved(_why_not_taken_in(Box.objects.get(pk=box.pk)))
        different: dict[str, list[Any]] = {}
        for item in box.items.all():
            item.received_count = counts[item.pk]
            item.save(update_fields=["received_count"])
            if item.received_count != item.count:
                different[item.get_content_display()] = [item.count, item.received_count]
        history.write(case=box.case, by=by, act="taken in", part="box", changes=different)
    box.refresh_from_db()
    return box


def _why_not_taken_in(box: Box) -> str:
    if box.trouble:
        return (
            f"This box is reported as {box.get_trouble_display().lower()}. Say first that it "
            "turned up."
        )
    return "This box was taken in already, or it has not been sent yet."


def report_lost(*, box: Box, note: str, by: User) -> Box:
    """Say that a box on its way is lost; what was in it counts as missing.

    Raises
    ------
    AlreadyMoved
        It has not left, it was taken in, or somebody reported it before.
    """
    return _report(box=box, trouble=BoxTrouble.LOST, note=note, by=by, received_at__isnull=True)


def report_wrong(*, box: Box, note: str, by: User) -> Box:
    """Say that a box is not ours, or of another case, whether it was counted or not.

    Raises
    ------
    AlreadyMoved
        It has not left, or somebody reported it before.
    """
    return _report(box=box, trouble=BoxTrouble.NOT_OURS, note=note, by=by)


def _report(*, box: Box, trouble: BoxTrouble, note: str, by: User, **still: bool) -> Box:
    with history.turn(box.case):
        written = Box.objects.filter(pk=box.pk, sent_at__isnull=False, trouble="", **still).update(
            trouble=trouble,
            trouble_note=note,
            trouble_at=timezone.now(),
            trouble_by=by,
            version=F("version") + 1,
        )
        if not written:
            raise AlreadyMoved(
                "This box has not been sent, was taken in, or is reported already. Look at it "
                "again."
            )
        history.write(
            case=box.case,
            by=by,
            act="reported",
            part="box",
            changes={"box": [box.direction, trouble.value]},
            reason=note,
        )
    box.refresh_from_db()
    return box


def turned_up(*, box: Box, by: User) -> Box:
    """Take back the report that a box is lost or not ours: it is here, or on its way after all.

    Raises
    ------
    AlreadyMoved
        Nobody has reported it, or somebody took it back first.
    """
    with history.turn(box.case):
        before = Box.objects.get(pk=box.pk).trouble
        written = (
            Box.objects.filter(pk=box.pk)
            .exclude(trouble="")
            .update(
                trouble="",
                trouble_note="",
                trouble_at=None,
                trouble_by=None,
                turned_up_at=timezone.now(),
                version=F("version") + 1,
            )
        )
        if not written:
            raise AlreadyMoved("Nobody has reported this box as lost or as not ours.")
        history.write(
            case=box.case,
            by=by,
            act="turned up",
            part="box",
            changes={"box": [before, box.direction]},
        )
    box.refresh_from_db()
    return box


def leaves_with(box: Box) -> Stage | None:
    """The stage whose move takes the box along, if it does not travel on its own.

    The first box to the laboratory leaves when the case is sent, and the denture when
    the case is dispatched, so that neither goes past its gate.
    """
    stage = box.case.stage
    if box.direction == BoxDirection.TO_LABORATORY:
        return Stage.SENT if stage == Stage.DRAFT else None
    if stage == Stage.RELEASED and box.items.filter(content=BoxContent.DENTURE).exists():
        return Stage.DISPATCHED
    return None


def ways_of(user: User, case: Case) -> list[BoxDirection]:
    """The directions in which a person may pack and send: away from their own house."""
    held = access.positions(user, case)
    return [
        direction
        for direction, house in (
            (BoxDirection.TO_LABORATORY, access.OFFICE),
            (BoxDirection.TO_OFFICE, access.LABORATORY),
        )
        if held & house & access.MAY["pack a box"]
    ]


def may_take_in(user: User, box: Box) -> bool:
    """People of the house that the box comes to take it in."""
    house = access.OFFICE if box.comes_to == "office" else access.LABORATORY
    return bool(access.positions(user, box.case) & house & access.MAY["take in a box"])
