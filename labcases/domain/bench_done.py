"""Which jobs of the stage that a case stands in are done already, by the case's own records.

A job may be behind a case before the case goes on: a flask lies in the bath, a denture waits for
the second look. Nobody plans minutes for it then.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime

from django.db.models import prefetch_related_objects

from labcases.domain import final_wax, ledger, remount_ledger
from labcases.domain import processing_state as states
from labcases.domain.gates.bench import mounted
from labcases.domain.gates.finishing import finished
from labcases.domain.gates.remount import remount_done
from labcases.enums import SetUpPart, Stage
from labcases.enums.load import BenchJob
from labcases.models import Case, FinalWax, Finishing, Mounting, Release
from labcases.reference.curing import ON, OPENED

Done = Mapping[BenchJob, datetime]
"""A job that is done, and the moment of the last entry that says so."""

#: What the records of a stage are read from, fetched once for all cases that stand there.
_READ: Mapping[Stage, tuple[str, ...]] = {
    Stage.MOUNTING: ("mounting",),
    Stage.SET_UP: ("setup_entries",),
    Stage.TRY_IN: ("setup_entries",),
    Stage.FINAL_WAX: ("final_wax", "attachments"),
    Stage.PROCESSING: ("handoffs", "processing_runs__steps", "processing_runs__materials"),
    Stage.REMOUNT: (
        *("remount_entries", "remount_check", "setup_entries", "mounting"),
        *("articulator", "proposals"),
    ),
    Stage.FINISHING: ("finishing", "release", "final_wax", "mark_row"),
}


def fetch(cases: Iterable[Case]) -> None:
    """Fetch what ``of`` reads, by as many questions for many cases as for one."""
    for stage, names in _READ.items():
        there = [case for case in cases if case.stage == stage]
        if there:
            prefetch_related_objects(there, *names)


def of(case: Case) -> Done:
    """The jobs of the stage that a case stands in which are done; none at other stages."""
    tell = _TOLD.get(Stage(case.stage))
    return tell(case) if tell else {}


def _mounting(case: Case) -> Done:
    row: Mounting | None = getattr(case, "mounting", None)
    return {} if row is None or any(mounted(case)) else {BenchJob.MOUNTING: row.changed_at}


def _set_up(case: Case) -> Done:
    jobs = {SetUpPart.POSTERIOR: BenchJob.POSTERIOR, SetUpPart.ANTERIOR: BenchJob.ANTERIOR}
    return {jobs[part]: entry.at for part, entry in ledger.parts_done(case).items()}


def _final_wax(case: Case) -> Done:
    """The laboratory's part of it: the rest is the dentist's, who looks at it."""
    row: FinalWax | None = getattr(case, "final_wax", None)
    ready = row is not None and not any(final_wax.unfinished(case, row))
    return {BenchJob.WAX_UP: row.changed_at} if row and ready else {}


def _processing(case: Case) -> Done:
    """In the heat, or opened where nobody entered that or the way has none."""
    run = states.run_of(case)
    if run is None or states.way_of(run) is None:
        return {}
    state = states.of(run)
    at = state.at(ON) or state.at(OPENED)
    return {BenchJob.FLASKING: at} if at else {}


def _remount(case: Case) -> Done:
    rows = remount_ledger.standing(case)
    return {} if not rows or any(remount_done(case)) else {BenchJob.REMOUNT: rows[-1].at}


def _finishing(case: Case) -> Done:
    """Who finished it has entered that, with mark and template where they are wanted."""
    row: Finishing | None = getattr(case, "finishing", None)
    release: Release | None = getattr(case, "release", None)
    told = [one.changed_at for one in (row, release) if one and one.finished_by_id]
    return {} if not told or any(finished(case)) else {BenchJob.FINISHING: max(told)}


_TOLD: Mapping[Stage, Callable[[Case], Done]] = {
    Stage.MOUNTING: _mounting,
    Stage.SET_UP: _set_up,
    Stage.TRY_IN: _set_up,
    Stage.FINAL_WAX: _final_wax,
    Stage.PROCESSING: _processing,
    Stage.REMOUNT: _remount,
    Stage.FINISHING: _finishing,
}
