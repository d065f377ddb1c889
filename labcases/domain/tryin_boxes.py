"""Where the posterior base is, and in which boxes it went out for a try-in and came back.

Boxes tell: the base travels as the wax set-up.
"""

from __future__ import annotations

from dataclasses import dataclass

from labcases.enums import BoxContent, BoxDirection
from labcases.models import Box, Case, TryIn
from labcases.templatetags.units import long_date


@dataclass(frozen=True)
class Trip:
    """The box that took the base out for a try-in, and the one that brings it back."""

    out: Box | None = None
    back: Box | None = None


def boxes_of(case: Case) -> list[Box]:
    """Every box with the base in it, the oldest first."""
    rows = [
        box
        for box in case.boxes.all()
        if any(item.content == BoxContent.WAX_SET_UP for item in box.items.all())
    ]
    return sorted(rows, key=lambda box: (box.packed_at, box.pk))


def trip_of(row: TryIn) -> Trip:
    """The boxes of one try-in: what left before its verdict and after the one before it."""
    judged = [one for one in row.case.try_ins.all() if one.number < row.number and one.decided_at]
    since = max((one.decided_at for one in judged if one.decided_at), default=None)
    boxes = boxes_of(row.case)
    out = [
        box
        for box in boxes
        if box.direction == BoxDirection.TO_OFFICE
        and (since is None or box.packed_at > since)
        and (row.decided_at is None or box.packed_at < row.decided_at)
    ]
    if not out:
        return Trip()
    later = [
        box
        for box in boxes
        if box.direction == BoxDirection.TO_OFFICE and box.packed_at > out[-1].packed_at
    ]
    back = [
        box
        for box in boxes
        if box.direction == BoxDirection.TO_LABORATORY
        and box.packed_at > out[-1].packed_at
        and (not later or box.packed_at < later[0].packed_at)
    ]
    return Trip(out[-1], back[-1] if back else None)


def whereabouts(case: Case) -> str:
    """Where the base is, in a sentence; nothing while no box had it."""
    boxes = boxes_of(case)
    return f"The posterior base is {_where(boxes[-1])}." if boxes else ""


def is_away(case: Case) -> bool:
    """Whether the base has left the laboratory and not come back."""
    left = [box for box in boxes_of(case) if box.sent_at]
    if not left:
        return False
    last = left[-1]
    return last.direction == BoxDirection.TO_OFFICE or bool(last.trouble) or not last.received_at


def box_words(box: Box) -> str:
    """One box: packed, on its way, or taken in, with its day."""
    if box.trouble:
        return f"reported as {box.get_trouble_display().lower()} on {long_date(box.trouble_at)}"
    if box.received_at:
        return f"taken in on {long_date(box.received_at)}"
    if box.sent_at:
        return f"on its way since {long_date(box.sent_at)}"
    return f"packed on {long_date(box.packed_at)}, not sent"


def _where(box: Box) -> str:
    here = "laboratory" if box.direction == BoxDirection.TO_OFFICE else "office"
    if box.trouble:
        return f"in a box {box_words(box)}"
    if box.received_at:
        return f"at the {box.comes_to}, taken in on {long_date(box.received_at)}"
    if box.sent_at:
        return f"on its way to the {box.comes_to} since {long_date(box.sent_at)}"
    return f"at the {here}, packed for the {box.comes_to} and not sent"
