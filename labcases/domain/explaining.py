"""Marks of foil held against the prediction, and adopting or leaving what comes of that."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal
from typing import Any

from django.utils import timezone

from labcases.domain import (
    bench,
    calculations,
    history,
    ledger,
    over_eruption,
    passes,
    proposing,
    versions,
)
from labcases.domain.calculations import MarksExplained, OneChange, inputs, marks_explained
from labcases.enums import SettingsOrigin, SetUpAct
from labcases.enums.marks import Decision
from labcases.enums.proposals import ProposalBasis, ProposalKind
from labcases.models import Case, Mark, MarksCompared, User
from labcases.models.articulator import DEVIATIONS

PART = "comparison of marks"
BY_MARKS = "it explains the marks of the last passes"

ASKS_THE_DENTIST = (SettingsOrigin.PRESCRIBED, SettingsOrigin.APPROVED)
"""Settings that the dentist gave: a change of them is proposed."""


class NotDecided(Exception):
    """Nothing was adopted or left; the text says why and what to do."""


@dataclass(frozen=True)
class Compared:
    """The last comparison as it was kept, and what changed since."""

    run: MarksCompared
    explained: MarksExplained
    changed: list[str]

    @property
    def stale(self) -> bool:
        return bool(self.changed)

    @property
    def open(self) -> bool:
        """Somebody may decide: it is not stale, and nobody left it or asked the dentist.

        What was adopted makes it stale, until the adopting is undone.
        """
        return not self.stale and self.explained.best is not None and not self.run.decision


def told_of(case: Case) -> inputs.Plain:
    """What the engine is told: the check's inputs, the last passes, and what was done since."""
    last = ledger.last_passes(case)
    marks: dict[int, dict[str, str]] = {entry.pk: {} for entry in last.values()}
    for mark in Mark.objects.filter(entry__in=marks).order_by("tooth"):
        marks[mark.entry_id][mark.tooth] = mark.strength
    return {
        **inputs.clearance(case),
        "passes": {str(movement): marks[entry.pk] for movement, entry in last.items()},
        "since": {
            str(movement): passes.ground_since(case, SetUpAct.PASS, movement=movement)
            for movement in last
        },
    }


def latest(case: Case) -> Compared | None:
    """The last comparison of a case; screen and paper both show this one."""
    run = case.marks_compared.select_related("decided_by", "proposal", "by").last()
    if run is None:
        return None
    now = told_of(case)
    changed = []
    if inputs.digest(now) != run.inputs_digest:
        changed = inputs.changes(run.inputs, now)
    if run.engine_version != calculations.ENGINE_VERSION:
        changed.append(f"engine: {run.engine_version} → {calculations.ENGINE_VERSION}")
    return Compared(run, marks_explained(run.findings), changed)


def compare(*, case: Case, by: User) -> MarksCompared:
    """Hold the last passes against the prediction and keep question and answer.

    Raises
    ------
    labcases.domain.calculations.CannotCompute
        No pass is logged, the case lacks something, or the engine refuses a setting.
    """
    told = told_of(case)
    findings = calculations.compare_marks(told)
    with history.turn(case):
        run = MarksCompared.objects.create(
            case=case,
            inputs=told,
            inputs_digest=inputs.digest(told),
            findings=findings,
            engine_version=calculations.ENGINE_VERSION,
            by=by,
        )
        history.write(case=case, by=by, act="computed", part=PART)
    return run


# --- adopting and leaving ------------------------------------------------------------------------


def way_of(case: Case, change: OneChange) -> str:
    """What adopting a change would do: ``edit``, ``propose``, ``re-set``, ``measure`` or nothing.

    The pin is no setting of the record here: it is put back on the bench and read again.
    """
    if change.kind == "denture tooth":
        return "re-set"
    if change.tooth:
        return "measure"
    record = getattr(case, "articulator", None)
    if record is None or change.field == "pin_opening_mm":
        return ""
    return "propose" if record.origin in ASKS_THE_DENTIST else "edit"


def adopt(*, run: MarksCompared, by: User) -> MarksCompared:
    """Let the case follow the change that explains the marks.

    A setting of the laboratory's own is changed as by an edit, and unusual ones are acknowledged
    anew; one that the dentist gave is proposed. A denture tooth is logged as set again. The tip
    height of any other tooth is corrected; nothing is ever taken off it.

    Raises
    ------
    NotDecided
        It is stale, decided already, or nothing of it can be adopted.
    labcases.domain.proposing.NotProposable
        The dentist cannot be asked as the case stands.
    labcases.domain.versions.EditConflict
        Somebody changed the row meanwhile.
    """
    with history.turn(run.case):
        case, found = _open(run)
        change = found.explained.best
        if change is None:
            raise NotDecided("No single change explains these marks, so there is none to adopt.")
        way = way_of(case, change)
        if not way:
            raise NotDecided(
                "A pin that slipped is put back on the bench. Set it and say that it touches the "
                "table, then mark again."
            )
        if way == "propose":
            proposal = proposing.raise_proposal(
                case=case,
                kind=ProposalKind.SETTING,
                field=change.field,
                number=setting_value(change),
                why=found.explained.text,
                basis=ProposalBasis.MARKS,
                by=by,
            )
            with history.consequences():
                return _decide(run, Decision.PROPOSED, by, proposal=proposal)
        if way == "edit":
            _edit(case, change, by)
        elif way == "re-set":
            _set_again(case, change, by)
        else:
            _correct_height(case, change, by)
    return run


def leave(*, run: MarksCompared, reason: str, by: User) -> MarksCompared:
    """Say why a change that explains the marks is not followed.

    Raises
    ------
    ValueError
        No reason is given.
    NotDecided
        It is stale or decided already, or there is nothing to leave.
    """
    if not reason.strip():
        raise ValueError("Give the reason why it is left.")
    with history.turn(run.case):
        _open(run)
        return _decide(run, Decision.LEFT, by, reason=reason.strip())


def setting_value(change: OneChange) -> Decimal:
    """What a setting would become, to the tenth of a degree that its column keeps."""
    return Decimal(str(change.value or 0.0)).quantize(Decimal("0.1"), rounding=ROUND_HALF_EVEN)


def _open(run: MarksCompared) -> tuple[Case, Compared]:
    """The case as it stands, with the comparison that may be decided."""
    case = Case.objects.select_for_update().get(pk=run.case_id)
    found = latest(case)
    if found is None or found.run.pk != run.pk or found.stale:
        raise NotDecided(
            "The marks or what they were held against changed while you read. Compare again."
        )
    if found.run.decision:
        raise NotDecided(
            f"{found.run.decided_by} decided already: {found.run.get_decision_display().lower()}."
        )
    if found.explained.best is None:
        raise NotDecided("No single change explains these marks, so there is none to decide about.")
    return case, found


def _edit(case: Case, change: OneChange, by: User) -> None:
    record = case.articulator
    values: dict[str, Any] = {change.field: setting_value(change)}
    if change.field in DEVIATIONS:
        values[DEVIATIONS[change.field]] = Decimal(str(change.sd)).quantize(
            Decimal("0.1"), rounding=ROUND_CEILING
        )
    versions.save_row(
        row=record,
        version=record.version,
        by=by,
        case=case,
        part="articulator record",
        act="followed the marks",
        reason=BY_MARKS,
        values=values,
    )


def _set_again(case: Case, change: OneChange, by: User) -> None:
    way = "high" if change.change > 0 else "low"
    bench.log(
        case=case,
        by=by,
        values={
            "act": SetUpAct.TOOTH_SET,
            "teeth": [change.tooth],
            "note": f"Set again: by the marks it stood {abs(change.change):.2f} mm too {way}.",
        },
    )


def _correct_height(case: Case, change: OneChange, by: User) -> None:
    site = case.sites.filter(tooth=change.tooth).first()
    before = site.tip_height_mm if site and site.tip_height_mm is not None else Decimal("0")
    nearer = Decimal(str(change.change)).quantize(Decimal("0.01"), rounding=ROUND_HALF_EVEN)
    bench.save_site(
        case=case,
        tooth=change.tooth,
        version=site.version if site else 0,
        by=by,
        values={"tip_height_mm": before + over_eruption.as_tip_height(change.tooth, nearer)},
        reason=BY_MARKS,
    )


def _decide(run: MarksCompared, decision: Decision, by: User, **more: Any) -> MarksCompared:
    MarksCompared.objects.filter(pk=run.pk).update(
        decision=decision, decided_by=by, decided_at=timezone.now(), **more
    )
    change = marks_explained(run.findings).best
    history.write(
        case=run.case,
        by=by,
        act="decided",
        part=PART,
        changes={change.name if change else "change": [None, str(decision.label).lower()]},
        reason=more.get("reason", ""),
    )
    return MarksCompared.objects.get(pk=run.pk)
