"""A processing as screen and paper show it: its record, its times, its lines, its cycles."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from labcases.domain import curing as times
from labcases.domain import curing_cycles, own_materials, processing_runs
from labcases.domain import processing_state as states
from labcases.domain.curing import House
from labcases.domain.pouring import span
from labcases.domain.processing_state import State
from labcases.models import Case, Organisation, ProcessingRun
from labcases.outputs.casts_view import LogRow
from labcases.reference import curing
from labcases.reference.curing import OFF, OPENED, Cycle
from labcases.templatetags.units import due_date, long_time


@dataclass(frozen=True)
class Due:
    """One moment of the work: what is due then, and whether it is only worked out."""

    what: str
    when: str
    known: bool


def pairs(run: ProcessingRun) -> list[dict[str, str]]:
    """What the record says, a line each; what is not entered says so."""
    return [
        {"label": label, "value": value or "not entered"}
        for label, value in processing_runs.told(run)
    ]


def steps(run: ProcessingRun) -> list[LogRow]:
    """Every line of the log, struck ones too, by the time at which it was done."""
    rows = run.steps.select_related("by", "struck_by", "run").order_by("happened_at", "pk")
    return [LogRow(what="step", row=row, said=processing_runs.in_words(row)) for row in rows]


def materials(run: ProcessingRun) -> list[LogRow]:
    rows = run.materials.select_related("by", "struck_by").order_by("pk")
    return [LogRow(what="material", row=row, said=processing_runs.in_words(row)) for row in rows]


def own(run: ProcessingRun) -> list[tuple[str, str]]:
    """Name and words of the laboratory's own materials that lines of a processing name."""
    products = [row.product for row in run.materials.all() if row.struck_at is None]
    found = own_materials.named_in(run.case.laboratory, products)
    return [(str(row), own_materials.in_words(row)) for row in found]


def due(state: State, house: House, *, now: datetime) -> list[Due]:
    """What follows from what is entered: end of the cycle, cooled, deflasked when."""
    found: list[Due] = []
    cycle = state.cycle
    if cycle is None or not cycle.was_read or state.opened:
        return found
    if state.out_due and not state.at(OFF):
        found.append(Due("The cycle ends", long_time(state.out_due), True))
    if state.cooled_due:
        found.append(Due("Cooled, on the bench and in water", long_time(state.cooled_due), True))
        at = house.open_from(state.cooled_due)
    else:
        plan = times.plan(cycle, state.started or now, house)
        begins = "From its start" if state.started else "Begun now"
        found += [
            Due(f"{begins}: heat from", long_time(plan.heat_from), False),
            Due("The cycle ends", long_time(plan.out), False),
            Due("Cooled, on the bench and in water", long_time(plan.cooled), False),
        ]
        at = plan.deflask_at
    last = state.way.of_role(OPENED)
    if at and last:
        found.append(Due(f"{last.label}, at the earliest in open hours", long_time(at), True))
    return found


def advice(state: State, house: House, *, now: datetime) -> list[str]:
    """Sentences about the day: overnight, and the latest start for the same day."""
    cycle = state.cycle
    if cycle is None or not cycle.was_read or state.opened:
        return []
    if not house.hours_known:
        return [
            "The hours of the laboratory are not entered, so no latest start is worked out. "
            "They stand with its open days."
        ]
    plan = times.plan(cycle, state.started or now, house)
    said = []
    if plan.over_night and not state.at(OFF):
        said.append(
            "It runs into the night: nobody is there when it ends. Leave it to cool in the bath "
            "where the instructions allow it, and let what heats switch itself off, as local "
            "rules for unattended heat ask."
        )
    if not state.started:
        said.append(latest_words(cycle, timezone.localtime(now).date(), house))
    return said


def latest_words(cycle: Cycle, day: date, house: House) -> str:
    """Until when it is packed on a day to be deflasked on the same one."""
    whole = whole_words(cycle)
    at = times.latest_start(cycle, day, house)
    closes = house.closes_on(day)
    if closes is None:
        return f"The whole takes {whole}. The laboratory is closed on {due_date(day)}."
    if at is None:
        return (
            f"The whole takes {whole}: it cannot be deflasked on the day on which it is packed "
            f"(open until {_clock(closes)})."
        )
    return (
        f"The whole takes {whole}. Packed by {_clock(at)} it is deflasked on the same day (open "
        f"until {_clock(closes)})."
    )


@dataclass(frozen=True)
class Start:
    """A line of the table of starts."""

    starts: str
    out: str
    deflask: str
    same_day: bool


def starts(cycle: Cycle, day: date, house: House) -> list[Start]:
    """Each full hour of an open day as a start, with what follows from it."""
    opens, closes = house.opens_on(day), house.closes_on(day)
    if opens is None or closes is None or not cycle.was_read:
        return []
    found = []
    first = timezone.localtime(opens).hour + (1 if timezone.localtime(opens).minute else 0)
    for hour in range(first, timezone.localtime(closes).hour + 1):
        at = timezone.make_aware(datetime.combine(day, time(hour)))
        plan = times.plan(cycle, at, house)
        deflask = plan.deflask_at
        found.append(
            Start(
                _clock(at),
                _moment(plan.out, day),
                _moment(deflask, day) if deflask else "not known",
                plan.same_day,
            )
        )
    return found


def _clock(moment: datetime) -> str:
    return f"{timezone.localtime(moment):%H:%M}"


def _moment(moment: datetime, day: date) -> str:
    """The time alone on the day itself, with the weekday on another."""
    on = timezone.localtime(moment).date()
    if on == day:
        return _clock(moment)
    return f"{due_date(on)} {_clock(moment)}"


@dataclass(frozen=True)
class ListedCycle:
    """One line of the list of cycles: what it is, how long in all, and from where."""

    label: str
    parts: str
    whole: str
    cited: str


def listed(laboratory: Organisation, technique: str) -> list[ListedCycle]:
    """The laboratory's own cycles of a technique, then those that were read of."""
    own = [one for one in curing_cycles.to_choose(laboratory, technique) if _is_own(one)]
    return [_listed(one) for one in (*own, *curing.of_technique(technique))]


def _is_own(cycle: Cycle) -> bool:
    return cycle.key.startswith(curing_cycles.OWN)


def read_of() -> list[ListedCycle]:
    """Cycles of every technique that were read of, unread ones said to be so."""
    return [_listed(one) for one in curing.cycles().values()]


def whole_words(cycle: Cycle) -> str:
    """From packing to deflasking, the least and the most."""
    low, high = times.whole(cycle)
    return span(low) if low == high else f"{span(low)} to {span(high)}"


def _listed(cycle: Cycle) -> ListedCycle:
    return ListedCycle(
        label=cycle.label,
        parts=times.in_words(cycle),
        whole=whole_words(cycle) if cycle.was_read else "not read",
        cited=cycle.cited,
    )


def earlier(case: Case, run: ProcessingRun | None) -> list[ProcessingRun]:
    """Processings before the one at work: given up, or of an earlier handoff."""
    rows = case.processing_runs.select_related("handoff", "given_up_by").order_by("-id")
    return [row for row in rows if run is None or row.pk != run.pk]


def next_open(house: House, now: datetime) -> date:
    """Today where the house is open today, or the next day on which it is."""
    day = timezone.localtime(now).date()
    for number in range(times.MOST_DAYS_CLOSED):
        if house.calendar.is_open(day + timedelta(days=number)):
            return day + timedelta(days=number)
    return day


@dataclass(frozen=True)
class Printed:
    """A processing as a paper prints it: what stands, without struck lines."""

    number: int
    pairs: list[dict[str, str]]
    cited: str
    steps: list[str]
    materials: list[str]
    to_mind: list[str]
    missing: list[str]


def printed(case: Case) -> Printed | None:
    """The processing at work; nothing where none is begun."""
    run = states.run_of(case)
    if run is None:
        return None
    state = states.of(run)
    return Printed(
        number=run.number,
        pairs=pairs(run),
        cited=processing_runs.instructions_of(run),
        steps=[f"{processing_runs.in_words(line)} ({line.by})" for line in state.steps.values()],
        materials=[processing_runs.in_words(row) for row in state.materials],
        to_mind=[one.text for one in state.cautions()],
        missing=[step.label for step in state.steps_missing()],
    )
