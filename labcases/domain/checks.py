"""Computing a check, keeping what it said, and telling when that is stale."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import OuterRef, QuerySet, Subquery

from labcases.domain import calculations, history
from labcases.domain.calculations import inputs
from labcases.enums import CheckKind
from labcases.models import Case, CheckRun, User


@dataclass(frozen=True)
class Shown:
    """A kept answer of the engine, and what changed since it was given."""

    run: CheckRun
    changed: list[str]

    @property
    def stale(self) -> bool:
        return bool(self.changed)


CLEARANCE = "clearance_runs"
"""Where a list keeps the last clearance check that it has fetched with a case."""


def latest_runs(kind: CheckKind) -> QuerySet[CheckRun]:
    """The last answer for each case, to be fetched with many cases at once."""
    last = CheckRun.objects.filter(case=OuterRef("case"), kind=kind).order_by("-pk")
    return CheckRun.objects.filter(kind=kind, pk=Subquery(last.values("pk")[:1]))


def _last_run(case: Case, kind: CheckKind) -> CheckRun | None:
    if kind == CheckKind.CLEARANCE and hasattr(case, CLEARANCE):
        return next(iter(getattr(case, CLEARANCE)), None)
    return case.check_runs.filter(kind=kind).last()


def latest(case: Case, kind: CheckKind) -> Shown | None:
    """The last answer for a case. Screen and paper both show this one."""
    run = _last_run(case, kind)
    if run is None:
        return None
    now = inputs.of(case, kind)
    if run.taken_back:
        return Shown(run, [f"taken back: {run.taken_back}", *inputs.changes(run.inputs, now)])
    if inputs.digest(now) == run.inputs_digest and run.engine_version == (
        calculations.ENGINE_VERSION
    ):
        return Shown(run, [])
    changed = inputs.changes(run.inputs, now)
    if run.engine_version != calculations.ENGINE_VERSION:
        changed.append(f"engine: {run.engine_version} → {calculations.ENGINE_VERSION}")
    return Shown(run, changed)


def compute(*, case: Case, kind: CheckKind, by: User) -> CheckRun:
    """Ask the engine and keep question and answer.

    Raises
    ------
    labcases.domain.calculations.CannotCompute
        The case lacks something, or the engine refuses a setting; the text says which.
    """
    told = inputs.of(case, kind)
    findings = calculations.answer(kind, told)
    with history.turn(case):
        run = CheckRun.objects.create(
            case=case,
            kind=kind,
            inputs=told,
            inputs_digest=inputs.digest(told),
            findings=findings,
            engine_version=calculations.ENGINE_VERSION,
            by=by,
        )
        history.write(case=case, by=by, act="computed", part=kind.label.lower())
    return run
