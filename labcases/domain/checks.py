"""Computing a check, keeping what it said, and telling when that is stale."""

from __future__ import annotations

from dataclasses import dataclass

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


def latest(case: Case, kind: CheckKind) -> Shown | None:
    """The last answer for a case. Screen and paper both show this one."""
    run = case.check_runs.filter(kind=kind).last()
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
