"""Counts that differ from the list of a box, until somebody says what they turned out to be."""

from __future__ import annotations

from collections.abc import Iterable

from labcases.domain import history, striking
from labcases.enums.boxes import DifferenceOutcome
from labcases.models import Box, BoxItem, Settlement, User

PART = "difference"

FEWER = (
    DifferenceOutcome.FOUND,
    DifferenceOutcome.NEVER_PACKED,
    DifferenceOutcome.LOST,
    DifferenceOutcome.MISCOUNTED,
)
MORE = (DifferenceOutcome.NOT_LISTED, DifferenceOutcome.MISCOUNTED)


class NothingToSettle(Exception):
    """The count does not differ, or somebody settled it first."""


def of_box(box: Box) -> list[BoxItem]:
    """Items of which another number was counted than was listed, and nobody settled it."""
    return [item for item in box.items.all() if item.differs]


def outcomes(item: BoxItem) -> tuple[DifferenceOutcome, ...]:
    """What a difference can turn out to be: less was counted than listed, or more."""
    return FEWER if (item.received_count or 0) < item.count else MORE


def settle(*, item: BoxItem, outcome: str, note: str, by: User) -> Settlement:
    """Say what a difference turned out to be.

    Raises
    ------
    NothingToSettle
        Nothing differs, or somebody settled it first.
    ValueError
        That cannot have become of it.
    """
    case = item.box.case
    with history.turn(case):
        fresh = BoxItem.objects.select_related("box").get(pk=item.pk)
        if not fresh.differs:
            raise NothingToSettle("This difference is settled already. Look at the box again.")
        if outcome not in outcomes(fresh):
            raise ValueError(f"{outcome} does not fit a count of {said(fresh)}")
        row = Settlement.objects.create(case=case, item=fresh, outcome=outcome, note=note, by=by)
        history.write(
            case=case, by=by, act="settled", part=PART, changes={"line": [None, in_words(row)]}
        )
    return row


def strike(*, row: Settlement, reason: str, by: User) -> Settlement:
    """Take back what was said of a difference; it is open again."""
    return striking.strike_out(row=row, part=PART, line=in_words(row), reason=reason, by=by)


def in_words(row: Settlement) -> str:
    return f"{said(row.item)} {row.get_outcome_display()}. {row.note}"


def said_of(items: Iterable[BoxItem]) -> str:
    """Differences in words: "Impression: 2 on the list, 1 counted, so 1 is missing."."""
    return " ".join(said(item) for item in items)


def said(item: BoxItem) -> str:
    counted = item.received_count or 0
    off = item.count - counted
    verb = "is" if abs(off) == 1 else "are"
    end = f"{off} {verb} missing" if off > 0 else f"{-off} {verb} not on it"
    return f"{item.get_content_display()}: {item.count} on the list, {counted} counted, so {end}."
