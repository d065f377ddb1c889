"""Disinfection of what came in a box: what is still to be done, and the log of what was done.

Too short keeps a box from leaving (``gates.box_may_leave``); it never keeps one from arriving.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import prefetch_related_objects

from labcases.domain import history, striking
from labcases.domain.inventory import inventory
from labcases.enums import BoxContent
from labcases.enums.boxes import BoxTrouble
from labcases.models import Box, BoxItem, Case, Disinfection, User
from labcases.templatetags.units import long_time

PART = "disinfection"

CONTAMINATED = "Treat as contaminated: disinfect and log before handling."


class NotArrived(Exception):
    """What is still on its way, or was never sent, is not disinfected here."""


def with_items(boxes: Iterable[Box]) -> list[Box]:
    """Boxes with what tells whether something is contaminated, in three queries at most.

    None where a page has fetched it already. What was declared and counted as listed has no log
    of its own that matters, so that most boxes cost one.
    """
    rows = list(boxes)
    prefetch_related_objects(rows, "items")
    items = [item for box in rows for item in box.items.all()]
    prefetch_related_objects([one for one in items if one.came_undisinfected], "disinfections")
    prefetch_related_objects([one for one in items if one.counted_otherwise], "settlements")
    return rows


def contaminated(boxes: Iterable[Box]) -> list[BoxItem]:
    """Items that must be treated as contaminated now: undeclared or too short, and not logged.

    Parameters
    ----------
    boxes : iterable of Box
        All boxes of one case: what has left a house again is no longer to be disinfected
        there, and nothing is to be done about what was not in the box.
    """
    rows = list(boxes)
    held = {one.content: one for one in inventory(rows)}
    found = []
    for box in rows:
        for item in box.items.all():
            if not item.is_contaminated:
                continue
            if box.trouble == BoxTrouble.LOST:
                continue
            if box.received_at and not box.trouble:
                here = getattr(held[BoxContent(item.content)], box.comes_to)
                if not item.arrived_count or not here:
                    continue
            found.append(item)
    return found


def of_case(case: Case) -> list[BoxItem]:
    return contaminated(with_items(case.boxes.all()))


@dataclass(frozen=True)
class State:
    """How an item was disinfected, in words; ``unsafe`` where it is handled as contaminated."""

    words: str
    unsafe: bool = False


def state(item: BoxItem) -> State:
    """What a paper says of an item: "hypochlorite spray, 10 of 10 min, by Farah Kline"."""
    given = f"{item.actual_minutes} of {item.label_minutes} min"
    if item.is_contaminated:
        why = f"too short, {given}" if item.disinfection_declared else "unknown"
        return State(f"{why}: treat as contaminated", unsafe=True)
    if not item.needs_disinfection:
        return State("not needed")
    if item.disinfection_declared and not item.disinfection_too_short:
        by = f", by {item.disinfected_by}" if item.disinfected_by else ""
        return State(f"{item.agent}, {given}{by}")
    return State("logged on arrival")


def names(items: Iterable[BoxItem]) -> str:
    """What they are, each once, in the order of the alphabet."""
    return ", ".join(sorted({item.get_content_display() for item in items}))


def log(*, item: BoxItem, by: User, values: Mapping[str, Any]) -> Disinfection:
    """Keep that an item was disinfected: with what, how long, by whom and when.

    Too short is kept as well; the item stays contaminated until it was long enough.

    Raises
    ------
    NotArrived
        Its box has not been sent.
    """
    box = item.box
    if box.sent_at is None:
        raise NotArrived(
            "This box has not been sent. Declare the disinfection where the box is packed."
        )
    with history.turn(box.case):
        row = Disinfection.objects.create(case=box.case, item=item, by=by, **values)
        history.write_line(row=row, part=PART, line=in_words(row), by=by)
    return row


def strike(*, row: Disinfection, reason: str, by: User) -> Disinfection:
    """Strike a line out; what it disinfected is contaminated again unless another line stands."""
    return striking.strike_out(row=row, part=PART, line=in_words(row), reason=reason, by=by)


def in_words(row: Disinfection) -> str:
    """What a line says, for its row on the page and for the history."""
    return (
        f"{row.item.get_content_display()}: {row.agent}, {row.actual_minutes} of "
        f"{row.label_minutes} min, by {row.done_by}, {long_time(row.done_at)}"
    )
