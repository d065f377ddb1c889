"""Which other case has the same flask, bath or machine at the same time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from labcases.codes import grouped
from labcases.domain.cautions import PRACTICE, Caution
from labcases.domain.processing_state import State, of
from labcases.models import ProcessingRun
from labcases.reference.curing import OFF, ON
from labcases.templatetags.units import long_time

LONGEST = timedelta(days=4)
"""What was begun before that and never said to be opened is asked about no more."""


@dataclass(frozen=True)
class Span:
    """From when to when something is in use; the end may not be known."""

    start: datetime
    end: datetime | None

    def meets(self, other: Span) -> bool:
        return (other.end is None or self.start < other.end) and (
            self.end is None or other.start < self.end
        )


def in_flask(state: State, *, now: datetime) -> Span:
    """From the packing on until it is opened, or due to be; from now where it is not packed."""
    start = state.started
    end = state.opened or state.cooled_due
    return Span(start or now, end)


def in_heat(state: State, *, now: datetime) -> Span:
    """From the heat on until it is taken out, or due to be; from now where it is not in it."""
    on = state.at(ON) or (None if state.way.of_role(ON) else state.started)
    return Span(on or now, state.at(OFF) or state.opened or state.out_due)


def cautions(state: State, *, now: datetime) -> list[Caution]:
    """What others of the laboratory have in use at the time of this processing.

    For people of the laboratory alone: the sentences name cases of other offices.
    """
    if state.opened and now - state.opened > LONGEST:
        return []
    found = []
    others = _others(state.run, now)
    for other in others:
        if state.run.flask and _same(state.run.flask, other.run.flask):
            found += _of_flask(state, other, now)
        if state.run.place and _same(state.run.place, other.run.place):
            found += _of_place(state, other, now)
    return found


def _others(run: ProcessingRun, now: datetime) -> list[State]:
    rows = (
        ProcessingRun.objects.filter(
            case__laboratory=run.case.laboratory_id,
            given_up_at__isnull=True,
            changed_at__gte=now - 4 * LONGEST,
        )
        .exclude(case=run.case_id)
        .exclude(flask="", place="")
        .select_related("case")
        .prefetch_related("steps", "materials")
    )
    found = [of(row) for row in rows]
    return [one for one in found if one.started and (one.opened or now - one.started <= LONGEST)]


def _of_flask(state: State, other: State, now: datetime) -> list[Caution]:
    own, theirs = in_flask(state, now=now), in_flask(other, now=now)
    if not own.meets(theirs):
        return []
    return [
        Caution(
            "flask-in-use",
            f"{state.way.flask or other.way.flask} {state.run.flask} is in use: case "
            f"{grouped(other.run.case.code)}, {_when(theirs, other.opened)}. Take another, or "
            "correct the number.",
            PRACTICE,
        )
    ]


def _of_place(state: State, other: State, now: datetime) -> list[Caution]:
    own, theirs = in_heat(state, now=now), in_heat(other, now=now)
    if not own.meets(theirs):
        return []
    said = f"{state.way.place} {state.run.place} is in use: case {grouped(other.run.case.code)}"
    ended = other.at(OFF) or other.opened
    if not state.way.cures or state.run.cycle != other.run.cycle:
        rest = (
            "on another cycle. One bath runs one cycle at a time."
            if state.way.cures
            else "at the same time."
        )
        return [Caution("place-in-use", f"{said}, {_when(theirs, ended)}, {rest}", PRACTICE)]
    return [
        Caution(
            "place-shared",
            f"{said}, {_when(theirs, ended)}, on the same cycle. Put both in together: opening "
            "it between cools what is in it.",
            PRACTICE,
        )
    ]


def _when(span: Span, ended: datetime | None) -> str:
    if span.end is None:
        return f"since {long_time(span.start)}"
    about = "" if ended else "about "
    return f"from {long_time(span.start)} to {about}{long_time(span.end)}"


def _same(one: str, other: str) -> bool:
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())
