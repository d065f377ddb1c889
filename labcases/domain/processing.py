"""Handing over to processing, remount, and release."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils import timezone

from labcases.domain import calculations, checks, finishing, history, stages, versions
from labcases.enums import CheckKind, Stage
from labcases.models import Case, Handoff, Release, User


class SamePerson(Exception):
    """The second look needs a second person."""


def hand_over(*, case: Case, by: User, values: Mapping[str, Any], reason: str = "") -> Handoff:
    """Freeze inputs, findings and engine version, and move the case to processing.

    Everything or nothing: when the gate refuses, no handoff is written.

    Raises
    ------
    labcases.domain.stages.Refused
        The gate into processing names what is missing.
    """
    with history.turn(case):
        # Locked, so that of two people who hand over at once the second is told.
        fresh = Case.objects.select_for_update().get(pk=case.pk)
        _budget_again(fresh, by)
        handoff = Handoff.objects.create(
            case=case,
            number=fresh.handoffs.count() + 1,
            revision=fresh.prescription.revision,
            frozen=frozen(fresh),
            engine_version=calculations.ENGINE_VERSION,
            by=by,
            **values,
        )
        history.write(
            case=case,
            by=by,
            act="handed over",
            part="processing handoff",
            changes={
                history.label(handoff, field): [None, history.shown(handoff, field)]
                for field in values
            },
        )
        stages.move(case=case, to=Stage.PROCESSING, by=by, reason=reason)
    return handoff


def _budget_again(case: Case, by: User) -> None:
    """No gate asks whether the height budget is current, so it is made so before it is frozen."""
    budget = checks.latest(case, CheckKind.HEIGHT)
    if budget is None or budget.stale:
        checks.compute(case=case, kind=CheckKind.HEIGHT, by=by)


def frozen(case: Case) -> dict[str, Any]:
    """Inputs and findings as they stand, in plain values."""
    shown = {kind: checks.latest(case, kind) for kind in CheckKind}
    return {
        "engine_version": calculations.ENGINE_VERSION,
        "prescription": {
            "revision": case.prescription.revision,
            "digest": case.prescription.digest,
        },
        "inputs": {
            str(kind): found.run.inputs for kind, found in shown.items() if found is not None
        },
        "findings": {
            str(kind): found.run.findings for kind, found in shown.items() if found is not None
        },
    }


def save_release(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> Release:
    row = getattr(case, "release", None) or Release(case=case)
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=case,
        part="release",
        values={**values, "finished_by": by, "second_look_by": None, "second_look_at": None},
    )


def look_again(*, case: Case, version: int, by: User) -> Release:
    """The second look, by another person, or after a pause by one who works alone."""
    row = Release.objects.get(case=case)
    refusal = finishing.why_not_look(by, case, row)
    if refusal:
        raise SamePerson(refusal)
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=case,
        part="release",
        act="looked at again",
        reason=finishing.look_words(by, row),
        values={"second_look_by": by, "second_look_at": timezone.now()},
    )
