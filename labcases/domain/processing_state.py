"""Where a processing stands: which steps are done, what is due when, and what to mind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from django.utils import timezone

from labcases.domain import curing_cycles, own_materials
from labcases.domain.cautions import Caution
from labcases.domain.curing import House, Plan, after, plan
from labcases.domain.pouring import span
from labcases.enums.curing import MaterialUse, Technique
from labcases.models import Case, ProcessingRun, ProcessingStep, UsedMaterial
from labcases.reference import curing
from labcases.reference.curing import CLOSED, OFF, ON, OPENED, STARTS, Cycle, Step, Way
from labcases.templatetags.units import long_date, long_time

NOT_BEGUN = "Nothing is processed yet. Enter what it is processed by first."

BOILING = "boiling"
"""What the field of the water says when the flask goes into boiling water."""


def run_of(case: Case) -> ProcessingRun | None:
    """The processing at work: of the last handoff, and not given up."""
    handoff = next(reversed(list(case.handoffs.all())), None)
    if handoff is None:
        return None
    found = [
        row
        for row in case.processing_runs.all()
        if row.handoff_id == handoff.pk and row.given_up_at is None
    ]
    return found[-1] if found else None


def of_case(case: Case) -> ProcessingRun:
    """The processing at work, where it is known that there is one.

    Raises
    ------
    ValueError
        Nothing is processed yet.
    """
    run = run_of(case)
    if run is None:
        raise ValueError(NOT_BEGUN)
    return run


def way_of(run: ProcessingRun) -> Way | None:
    return curing.ways().get(Technique(run.technique)) if run.technique else None


@dataclass(frozen=True)
class State:
    """One processing with everything that stands of it."""

    run: ProcessingRun
    way: Way
    steps: dict[str, ProcessingStep]
    """Step -> the last line of it that is not struck out."""
    materials: tuple[UsedMaterial, ...]

    @cached_property
    def cycle(self) -> Cycle | None:
        """The cycle that the record names, where the technique has one."""
        return curing_cycles.find(self.run.cycle) if self.way.cures else None

    def at(self, role: str) -> datetime | None:
        """When the step of a role was done."""
        step = self.way.of_role(role)
        line = self.steps.get(step.key) if step else None
        return line.happened_at if line else None

    @property
    def started(self) -> datetime | None:
        return self.at(STARTS)

    @property
    def opened(self) -> datetime | None:
        return self.at(OPENED)

    @property
    def next_step(self) -> Step | None:
        """The first step that is not entered after the last one that is."""
        done = [number for number, step in enumerate(self.way.steps) if step.key in self.steps]
        return next(iter(self.way.steps[(max(done) + 1 if done else 0) :]), None)

    @property
    def out_due(self) -> datetime | None:
        """The end of the cycle, counted from the heat on."""
        on = self.at(ON)
        return after(on, self.cycle.cure_minutes) if on and self.cycle and self._timed else None

    @property
    def cooled_due(self) -> datetime | None:
        """The end of the cooling, counted from the heat off, or else from the end of the cycle."""
        off = self.at(OFF) or self.out_due
        if off is None or self.cycle is None or not self.cycle.was_read:
            return None
        return after(off, self.cycle.bench_minutes + self.cycle.water_minutes)

    @property
    def bench_cooled(self) -> datetime | None:
        """Before this moment it is not opened: the bench cooling is not over."""
        off = self.at(OFF)
        return after(off, self.cycle.bench_minutes) if off and self._timed and self.cycle else None

    @property
    def _timed(self) -> bool:
        return self.cycle is not None and self.cycle.was_read

    def plan(self, house: House, *, now: datetime) -> Plan | None:
        """What follows from the start, or from now where it has not started."""
        if not self._timed or self.cycle is None:
            return None
        return plan(self.cycle, self.started or now, house)

    # -- what does not go -----------------------------------------------------------------

    def out_of_order(self, step: str, at: datetime) -> str:
        """Why a moment cannot be: another step stands on the wrong side of it."""
        place = self.way.order(step)
        for key, line in self.steps.items():
            other = self.way.order(key)
            wrong = (other < place and line.happened_at > at) or (
                other > place and line.happened_at < at
            )
            if wrong:
                name, own = self.way.step(key).label, self.way.step(step).label
                side = "after" if other < place else "before"
                return (
                    f"{own} at {long_time(at)} does not go with {_small(name)} at "
                    f"{long_time(line.happened_at)}: {_small(own)} comes {side} it. Check both "
                    "times, and strike the wrong line out."
                )
        return ""

    def early(self, step: str, at: datetime) -> Caution | None:
        """What is to be minded of a step that came before its time."""
        role = self.way.step(step).role
        if role == OFF and self.out_due and at < self.out_due:
            told = curing.told("cured")
            return Caution(
                "out-early",
                f"{self.way.step(step).label} at {long_time(at)}; the cycle ends at "
                f"{long_time(self.out_due)}. {told.text}",
                told.cited,
            )
        if role == OPENED and self.bench_cooled and at < self.bench_cooled:
            told = curing.told("opened")
            minutes = self.cycle.bench_minutes if self.cycle else 0
            return Caution(
                "opened-early",
                f"{self.way.step(step).label} at {long_time(at)}; cooling on the bench "
                f"({span(minutes)}) ends at {long_time(self.bench_cooled)}. {told.text}",
                told.cited,
            )
        if role == OPENED and self.way.cures and self.at(OFF) is None and self.at(ON):
            return Caution(
                "opened-in-the-heat",
                f"{self.way.step(step).label} at {long_time(at)}, and nobody entered that it was "
                "taken out. Enter that first.",
                curing.told("opened").cited,
            )
        return None

    # -- what to mind ---------------------------------------------------------------------

    def cautions(self) -> list[Caution]:
        """Everything about this processing that a reader should weigh; nothing blocks."""
        return [*self._of_heat(), *self._of_press(), *self._of_times(), *self._of_materials()]

    def _of_heat(self) -> Iterator[Caution]:
        told = curing.told("boiling")
        if self.cycle and curing_cycles.begins_boiling(self.cycle):
            yield Caution("boiling-start", told.text.format(what="This cycle"), told.cited)
        elif self.run.details.get("water") == BOILING and not (
            self.cycle and self.cycle.boiling_start
        ):
            yield Caution("boiling-start", told.text.format(what="The flask"), told.cited)

    def _of_press(self) -> Iterator[Caution]:
        closures = str(self.run.details.get("closures", ""))
        if closures.isdecimal() and int(closures) < curing.least_closures():
            told = curing.told("closures")
            count = {"0": "not once", "1": "once"}[closures]
            yield Caution("few-closures", told.text.format(count=count), told.cited)
        closed, on = self.at(CLOSED), self.at(ON)
        least = self.cycle.dwell[0] if self.cycle else 0
        if closed and on and least and on < after(closed, least):
            yield Caution(
                "short-dwell",
                f"It went into the heat at {long_time(on)}, before it had been in the press for "
                f"{span(least)} (closed at {long_time(closed)}).",
                curing.dwell_cited(),
            )

    def _of_times(self) -> Iterator[Caution]:
        for key, line in self.steps.items():
            found = self.early(key, line.happened_at)
            if found:
                why = f" Why: {line.words}." if line.words else ""
                yield Caution(found.code, f"{found.text}{why}", found.source)

    def _of_materials(self) -> Iterator[Caution]:
        for row in self.materials:
            used = timezone.localtime(self.started or row.at).date()
            if row.expires_on and row.expires_on < used:
                yield Caution(
                    "expired",
                    f"{row.get_use_display()} {row.product}, lot {row.lot}, expired on "
                    f"{long_date(row.expires_on)} and was used on {long_date(used)}. Say in a "
                    "note what was done about it, or process anew with another lot.",
                    "the label of the material, as it was entered",
                )
        products = {row.product for row in self.materials}
        for own in own_materials.named_in(self.run.case.laboratory, products):
            late = own.stopped_at and any(
                own.called.casefold() == row.product.casefold() and row.at > own.stopped_at
                for row in self.materials
            )
            if late:
                yield Caution(
                    "used-no-more",
                    f"{own} is used no more since {long_date(own.stopped_at)}: "
                    f"{own.stopped_why.rstrip('.')}. Say in a note why it was used, or process "
                    "anew with another.",
                    "the laboratory's own list of materials",
                )

    # -- what is missing ------------------------------------------------------------------

    def lots_missing(self) -> list[str]:
        """Materials that the technique needs and that no line names."""
        there = {row.use for row in self.materials}
        return [str(MaterialUse(use).label) for use in self.way.needed if use not in there]

    def steps_missing(self) -> list[Step]:
        return [step for step in self.way.steps if step.needed and step.key not in self.steps]


def of(run: ProcessingRun) -> State:
    """Everything that stands of a processing, read once."""
    way = way_of(run)
    if way is None:
        raise ValueError("A processing without a technique has no steps. Choose one first.")
    steps: dict[str, ProcessingStep] = {}
    for line in run.steps.all():
        if line.struck_at is None:
            steps[line.step] = line
    return State(
        run=run,
        way=way,
        steps=dict(sorted(steps.items(), key=lambda pair: way.order(pair[0]))),
        materials=tuple(row for row in run.materials.all() if row.struck_at is None),
    )


def _small(label: str) -> str:
    """A label inside of a sentence."""
    return label[:1].lower() + label[1:]
