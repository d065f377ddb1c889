"""The record of a processing: what it is done by, its steps, and its materials with their lots."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, TypeVar

from django.utils import timezone

from labcases.domain import curing_cycles, history, striking, versions
from labcases.domain import processing_state as states
from labcases.models import Case, ProcessingRun, ProcessingStep, UsedMaterial, User
from labcases.templatetags.units import long_date, long_time

RECORD, STEPS, MATERIALS = (
    *("processing record", "steps of processing"),
    "materials of processing",
)


class NothingToProcess(Exception):
    """The case was not handed over, so there is nothing to record."""


class Early(ValueError):
    """A step came before its time. It is kept with words that say why."""


def save(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> ProcessingRun:
    """Save what the base is processed by; the first save begins the record.

    Raises
    ------
    NothingToProcess
        The case was never handed over to processing.
    ValueError
        Another technique is chosen, and steps of the first are entered.
    labcases.domain.versions.EditConflict
        Somebody saved first.
    """
    row = states.run_of(case)
    if row is None:
        handoff = case.handoffs.last()
        if handoff is None:
            raise NothingToProcess("Hand the case over to processing first.")
        row = ProcessingRun(case=case, handoff=handoff, number=handoff.runs.count() + 1)
    elif values["technique"] != row.technique and row.steps.filter(struck_at=None).exists():
        raise ValueError(
            f"Steps of {row.get_technique_display().lower()} are entered. Strike them out, or give "
            "this processing up and begin another."
        )
    return versions.save_row(row=row, version=version, by=by, case=case, part=RECORD, values=values)


def give_up(*, row: ProcessingRun, version: int, reason: str, by: User) -> ProcessingRun:
    """Give a processing up, so that another one can begin: it stays readable, with the reason.

    Raises
    ------
    ValueError
        No reason is given.
    """
    if not reason.strip():
        raise ValueError("Give the reason why this processing is given up.")
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=row.case,
        part=RECORD,
        act="gave up",
        reason=reason.strip(),
        values={
            "given_up_at": timezone.now(),
            "given_up_by": by,
            "given_up_reason": reason.strip(),
        },
    )


def log_step(
    *,
    run: ProcessingRun,
    step: str,
    at: datetime,
    by: User,
    done_by: str = "",
    words: str = "",
    note: str = "",
) -> ProcessingStep:
    """Enter a step that was done, and when.

    Raises
    ------
    ValueError
        It lies before a step that it follows, or after one that follows it.
    Early
        It came before the end of the cycle or of the cooling, and no words say why.
    """
    state = states.of(run)
    wrong = state.out_of_order(step, at)
    if wrong:
        raise ValueError(wrong)
    early = state.early(step, at)
    if early and not words.strip():
        raise Early(f"{early.text} Wait, or say why it was done then.")
    with history.turn(run.case):
        row = ProcessingStep.objects.create(
            case=run.case,
            run=run,
            step=step,
            happened_at=at,
            done_by=done_by.strip(),
            words=words.strip() if early else "",
            note=note.strip(),
            by=by,
        )
        history.write_line(row=row, part=STEPS, line=in_words(row), by=by)
    return row


def use_material(*, run: ProcessingRun, by: User, values: Mapping[str, Any]) -> UsedMaterial:
    """Enter a material with its lot, as it went into the base."""
    with history.turn(run.case):
        row = UsedMaterial.objects.create(case=run.case, run=run, by=by, **values)
        history.write_line(row=row, part=MATERIALS, line=in_words(row), by=by)
    return row


Line = TypeVar("Line", ProcessingStep, UsedMaterial)

_PARTS: dict[type[ProcessingStep | UsedMaterial], str] = {
    ProcessingStep: STEPS,
    UsedMaterial: MATERIALS,
}


def strike(*, row: Line, reason: str, by: User) -> Line:
    """Strike a line out, with a reason; it stays readable and counts no longer."""
    part = _PARTS[type(row)]
    return striking.strike_out(row=row, part=part, line=in_words(row), reason=reason, by=by)


# -- words ----------------------------------------------------------------------------------


def in_words(row: ProcessingStep | UsedMaterial) -> str:
    """What a line says, for its row on the page and for the history."""
    said = _step(row) if isinstance(row, ProcessingStep) else _material(row)
    return ", ".join(part for part in (*said, row.note) if part)


def _step(row: ProcessingStep) -> Iterable[str]:
    way = states.way_of(row.run)
    yield way.step(row.step).label if way else row.step
    yield long_time(row.happened_at)
    yield f"by {row.done_by}" if row.done_by else ""
    yield f"early: {row.words}" if row.words else ""


def _material(row: UsedMaterial) -> Iterable[str]:
    yield f"{row.get_use_display()}: {row.product}"
    yield f"lot {row.lot}"
    yield f"expires {long_date(row.expires_on)}" if row.expires_on else ""
    yield f"by its instructions: {row.instructions}" if row.instructions else ""


def told(run: ProcessingRun) -> list[tuple[str, str]]:
    """Label and words of everything that the record says of how it is done."""
    way = states.way_of(run)
    if way is None:
        return []
    cycle = curing_cycles.find(run.cycle)
    found = [("Technique", str(run.get_technique_display()))]
    found += [(way.flask, run.flask)] if way.flask else []
    found += [(way.place, run.place)]
    if way.cures:
        found.append(("Curing cycle", cycle.label if cycle else ""))
    found += [
        (one.label, f"{run.details[one.key]}{f' {one.unit}' if one.unit else ''}")
        for one in way.fields
        if run.details.get(one.key)
    ]
    return [*found, *([("Note", run.note)] if run.note else [])]


def instructions_of(run: ProcessingRun) -> str:
    """The source of the cycle, as screen and paper cite it."""
    cycle = curing_cycles.find(run.cycle)
    return cycle.cited if cycle else ""
