"""When reviews are due, how long a liner lasts and when a reline is made: pure, on dates.

Days are calendar days from the day of delivery, or from the day on which a liner was placed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from labcases.domain import open_days
from labcases.reference.reviews import (
    LinerKind,
    RelineSource,
    ReviewKind,
    liners,
    reline_sources,
    reviews,
)

DONE, MISSED, LATE, DUE, AHEAD = "done", "missed", "late", "due", "ahead"
NOT_NEEDED = "not needed"
OPEN = (LATE, DUE, AHEAD)
"""How a review stands that is still to be held."""

BEFORE_RELINE = "reline"
"""The review that asks whether to reline; nobody does what is made again."""


@dataclass(frozen=True)
class DueReview:
    """One review of a case: its day, the days between which it is on time, how it stands.

    ``closed`` says that the office is closed on the day, and that no other day would be on time.
    """

    review: ReviewKind
    on: date
    earliest: date
    latest: date
    closed: bool
    state: str = AHEAD

    @property
    def waits(self) -> bool:
        """Somebody should see the patient now."""
        return self.state in (DUE, LATE)


def day_of(
    review: ReviewKind, delivered_on: date, closed: open_days.Closed = ()
) -> tuple[date, bool]:
    """The day of a review, and whether the office is closed on it.

    A day that is closed slides to the next open one that is still on time, else to the last open
    one before. The day after delivery is a calendar day: it never slides.
    """
    wanted = delivered_on + timedelta(days=review.days)
    later = (wanted + timedelta(days=n) for n in range(review.latest - review.days + 1))
    sooner = (wanted - timedelta(days=n) for n in range(1, review.days - review.earliest + 1))
    if review.calendar_day:
        return wanted, not open_days.is_working_day(wanted, closed)
    for day in (*later, *sooner):
        if open_days.is_working_day(day, closed):
            return day, False
    return wanted, True


def due(
    *,
    delivered_on: date,
    today: date,
    held: Collection[str] = (),
    closed: open_days.Closed = (),
    not_needed: Collection[str] = (),
) -> list[DueReview]:
    """Every review, the first one first.

    Parameters
    ----------
    delivered_on, today : date
        Day of delivery, and the day from which it is looked at.
    held : collection of str
        Keys of the reviews that are recorded. One that a later one followed is missed, and
        waits for nobody any more.
    closed : Closed
        When the office is closed.
    not_needed : collection of str
        Keys of the reviews that nobody waits for any more, unless they were held.
    """
    kinds = list(reviews().values())
    last = max((n for n, kind in enumerate(kinds) if kind.key in held), default=-1)
    found = []
    for place, kind in enumerate(kinds):
        on, shut = day_of(kind, delivered_on, closed)
        latest = max(on, delivered_on + timedelta(days=kind.latest))
        state = _state(kind.key in held, place < last, on, latest, today)
        if kind.key in not_needed and state in OPEN:
            state = NOT_NEEDED
        earliest = min(on, delivered_on + timedelta(days=kind.earliest))
        found.append(DueReview(kind, on, earliest, latest, shut, state))
    # The day of a review that nobody waits for ends the wait for those before it all the same.
    past = [n for n, row in enumerate(found) if row.state == NOT_NEEDED and row.on <= today]
    return [
        replace(row, state=MISSED) if row.state in OPEN and past and n < past[-1] else row
        for n, row in enumerate(found)
    ]


def _state(held: bool, passed: bool, on: date, latest: date, today: date) -> str:
    if held:
        return DONE
    if passed:
        return MISSED
    if today > latest:
        return LATE
    return DUE if today >= on else AHEAD


def next_due(rows: Iterable[DueReview]) -> DueReview | None:
    """The review that is next: the last one whose day has come, else the first one ahead.

    Of several that nobody recorded only the last is still to be held.
    """
    open_rows = [row for row in rows if row.state in OPEN]
    come = [row for row in open_rows if row.waits]
    return come[-1] if come else (open_rows[0] if open_rows else None)


# --- liners ------------------------------------------------------------------------------------

GOOD, TO_CHANGE, OVER = "good", "to be changed", "over"


@dataclass(frozen=True)
class LinerAge:
    """A liner in use: the days between which it is changed, and how it stands."""

    liner: LinerKind
    placed_on: date
    first: date
    last: date
    days: int
    state: str


def liner_age(kind: str, placed_on: date, today: date) -> LinerAge | None:
    """How old a liner is; nothing where none was placed or its kind is not known."""
    liner = liners().get(kind)
    if liner is None:
        return None
    first = placed_on + timedelta(days=liner.first)
    last = placed_on + timedelta(days=liner.last)
    state = OVER if today > last else TO_CHANGE if today >= first else GOOD
    return LinerAge(liner, placed_on, first, last, (today - placed_on).days, state)


# --- reline ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class RelineRow:
    """When one source has the reline made for this delivery."""

    said: RelineSource
    first: date
    last: date


@dataclass(frozen=True)
class RelineWindow:
    """The span of all sources; never one date, since they disagree."""

    first: date
    last: date
    rows: tuple[RelineRow, ...]


def reline_window(delivered_on: date) -> RelineWindow:
    rows = tuple(
        RelineRow(
            one,
            delivered_on + timedelta(days=one.first),
            delivered_on + timedelta(days=one.last),
        )
        for one in reline_sources()
    )
    return RelineWindow(min(r.first for r in rows), max(r.last for r in rows), rows)
