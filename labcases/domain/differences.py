"""What did not come as listed: counts that differ and what became of them, and boxes gone."""

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


def arrival_words(item: BoxItem) -> str:
    """What is to be said beside the numbers of an item; empty where it came as listed.

    "reported as lost", "1 missing, not settled", "1 never packed: the sender still has it".
    """
    if item.box.trouble:
        return f"reported as {_lower(item.box.get_trouble_display())}"
    told = item.settlement
    off = item.count - (item.received_count or 0)
    if told is not None:
        return f"{abs(off)} {_lower(told.get_outcome_display())}"
    if item.differs:
        return f"{abs(off)} {'missing' if off > 0 else 'not on the list'}, not settled"
    return ""


def pieces(item: BoxItem) -> int:
    """How many there are, as far as anybody knows: listed, counted, or as it was settled."""
    return item.count if item.received_count is None else item.arrived_count


def gone_words(box: Box, items: Iterable[BoxItem] | None = None) -> str:
    """The sentence for a box that is lost or not ours, the same wherever it is told.

    ``items`` are the ones to name; by default all that are on its list.
    """
    listed = box.items.all() if items is None else items
    named = [f"the {one}" for one in sorted({_lower(row.get_content_display()) for row in listed})]
    last = named.pop() if named else "nothing on its list"
    what = f"{', '.join(named)} and {last}" if named else last
    return f"The box with {what} is reported as {_lower(box.get_trouble_display())}."


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def said_of(items: Iterable[BoxItem]) -> str:
    """Differences in words: "Impression: 2 on the list, 1 counted, so 1 is missing."."""
    return " ".join(said(item) for item in items)


def said(item: BoxItem) -> str:
    counted = item.received_count or 0
    off = item.count - counted
    verb = "is" if abs(off) == 1 else "are"
    end = f"{off} {verb} missing" if off > 0 else f"{-off} {verb} not on it"
    return f"{item.get_content_display()}: {item.count} on the list, {counted} counted, so {end}."
