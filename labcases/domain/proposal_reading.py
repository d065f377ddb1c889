"""Reading proposals: their words, who waits, and when one no longer fits its case."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

from labcases import notation
from labcases.domain import calculations, reductions, teeth, vertical
from labcases.domain.proposal_table import AGREED_MM, SETTINGS, TABLE
from labcases.enums import OpposingTooth, Stage
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.models import ArticulatorRecord, Case, Proposal
from labcases.templatetags.units import deg, mm

K = ProposalKind


def waiting(case: Case) -> list[Proposal]:
    """Proposals that the dentist has not answered, the oldest first."""
    return [row for row in case.proposals.all() if row.waits]


def blocking(case: Case) -> list[Proposal]:
    """Those for which the case waits."""
    return [row for row in waiting(case) if row.blocking]


def waits_in_words(case: Case) -> list[str]:
    """Why the case goes nowhere, one sentence a proposal."""
    return [
        f"The case waits for the office: {name(row)} to the dentist is open ({words(row)})."
        for row in blocking(case)
    ]


# --- words -------------------------------------------------------------------------------------


def name(row: Proposal) -> str:
    return f"proposal {row.number}"


def shown(row: Proposal, value: Decimal | None) -> str:
    """A number of a proposal with its unit."""
    return deg(value) if row.in_deg else mm(value)


def words(row: Proposal) -> str:
    """What is proposed, in one line."""
    return told(row, row.proposed)


def told(row: Proposal, value: Decimal | None) -> str:
    """The same with another number."""
    return _WORDS[K(row.kind)](row, value)


def _tooth(tooth: str) -> str:
    return notation.show(tooth, "ISO 3950")


def _setting(row: Proposal, value: Decimal | None) -> str:
    label = SETTINGS[row.field].label
    return f"{label[:1].upper()}{label[1:]} {shown(row, row.before)} → {shown(row, value)}"


def _reduction(row: Proposal, value: Decimal | None) -> str:
    return f"Reduce denture tooth {_tooth(row.tooth)} by {mm(value)}, beyond its height budget"


def _natural(row: Proposal, _value: Decimal | None) -> str:
    return f"Natural tooth {_tooth(row.tooth)}: the dentist decides"


def _vertical(row: Proposal, value: Decimal | None) -> str:
    by = (value or Decimal("0")) - (row.before_mm or Decimal("0"))
    verb = "raises" if by > 0 else "lowers"
    return (
        f"The dentist {verb} the vertical by {mm(abs(by))} (agreed pin value {mm(row.before_mm)} → "
        f"{mm(value)}), then new record and try-in"
    )


def _arrangement(row: Proposal, _value: Decimal | None) -> str:
    return f"Another arrangement than the natural one at {_tooth(row.tooth)}"


_WORDS: dict[ProposalKind, Callable[[Proposal, Decimal | None], str]] = {
    K.SETTING: _setting,
    K.REDUCTION: _reduction,
    K.NATURAL: _natural,
    K.VERTICAL: _vertical,
    K.ARRANGEMENT: _arrangement,
}


#: What yes, no and change mean at a natural tooth, of which nothing is proposed.
_AT_A_NATURAL_TOOTH = {
    ProposalState.YES: "I see to it",
    ProposalState.NO: "It stays as it is",
    ProposalState.CHANGE: "Otherwise",
}


def label(kind: str, state: str) -> str:
    """What an answer is called."""
    said = ProposalState(state)
    if kind == K.NATURAL and said in _AT_A_NATURAL_TOOTH:
        return _AT_A_NATURAL_TOOTH[said]
    return str(said.label)


def answer_words(row: Proposal) -> str:
    """The answer, with another number where the dentist gave one, and with the dentist's words."""
    said = label(row.kind, row.state)
    if row.carried_out and row.answered is not None and row.answered != row.proposed:
        value = row.answered
        if row.kind == K.VERTICAL:
            said += f": agreed pin value {mm(value)}"
        else:
            said += f": {shown(row, value)}"
    text = row.answer or row.withdrawn_reason
    return f"{said}. {text}" if text else said


def differs(row: Proposal) -> str:
    """Where the record says otherwise than the last answer about a setting; empty where not."""
    if row.kind != K.SETTING or not row.carried_out:
        return ""
    later = [
        one
        for one in row.case.proposals.all()
        if one.field == row.field and one.carried_out and one.number > row.number
    ]
    record: ArticulatorRecord | None = getattr(row.case, "articulator", None)
    now = getattr(record, row.field, None)
    if later or now == row.answered:
        return ""
    return (
        f"The dentist approved {shown(row, row.answered)}; the articulator record has "
        f"{shown(row, now) or 'nothing'} now."
    )


# --- whether it still fits ---------------------------------------------------------------------


def too_late(case: Case, kind: ProposalKind) -> str:
    """Why nothing of this kind is decided any more; empty while it is."""
    if not case.is_open:
        return "The case has ended."
    order = list(Stage)
    until = TABLE[kind].until
    if order.index(Stage(case.stage)) >= order.index(until):
        return f"The case stands at {case.get_stage_display().lower()}, and that is too late."
    return ""


def bound_to(case: Case) -> dict[str, Any]:
    """What every proposal is raised against."""
    return {"revision": case.prescription.revision}


def stale(row: Proposal) -> list[str]:
    """What has changed since it was raised, so that it can no longer be answered with yes."""
    if not row.waits:
        return []
    return list(_changes(row))


def _changes(row: Proposal) -> Iterator[str]:
    case, kind = row.case, K(row.kind)
    late = too_late(case, kind)
    if late:
        yield late
    current = case.prescription.revision
    if row.bound.get("revision") != current:
        yield (
            f"Revision {current} is in force; it was proposed for revision "
            f"{row.bound.get('revision')}."
        )
    yield from _STALE[kind](row)


def _setting_now(row: Proposal) -> Iterator[str]:
    record: ArticulatorRecord | None = getattr(row.case, "articulator", None)
    label = SETTINGS[row.field].label
    if record is None:
        yield "There is no articulator record any more."
        return
    now = getattr(record, row.field)
    if now != row.before:
        yield f"The {label} is {shown(row, now)} now; it was {shown(row, row.before)}."


def _reduction_now(row: Proposal) -> Iterator[str]:
    try:
        found = reductions.beyond(row.case, row.tooth, float(row.proposed_mm or 0))
    except calculations.CannotCompute as refused:
        yield str(refused)
        return
    now = reductions.measured(found)
    if any(row.bound.get(key) != value for key, value in now.items()):
        left = Decimal(str(round(found.left_mm, 2)))
        yield (
            f"The budget left at {row.tooth} is {mm(left)} now; it was {mm(row.before_mm)}, or it "
            "was measured again."
        )


def _natural_now(row: Proposal) -> Iterator[str]:
    if teeth.kind(row.case.prescription, row.tooth) != OpposingTooth.NATURAL:
        yield f"No natural tooth stands at {row.tooth} any more."


def _vertical_now(row: Proposal) -> Iterator[str]:
    now = vertical.agreed_mm(row.case)
    if now != row.before_mm:
        yield f"The agreed pin value is {mm(now)} now; it was {mm(row.before_mm)}."


def _arrangement_now(row: Proposal) -> Iterator[str]:
    if row.tooth not in teeth.replaced(row.case.prescription):
        yield f"No denture tooth is set at {row.tooth} any more."


_STALE: dict[ProposalKind, Callable[[Proposal], Iterator[str]]] = {
    K.SETTING: _setting_now,
    K.REDUCTION: _reduction_now,
    K.NATURAL: _natural_now,
    K.VERTICAL: _vertical_now,
    K.ARRANGEMENT: _arrangement_now,
}


def limits(row: Proposal) -> tuple[Decimal, Decimal] | None:
    """Within which another number can be answered; nothing where no number is."""
    if row.kind == K.SETTING:
        return SETTINGS[row.field].hard
    if row.kind == K.VERTICAL:
        return AGREED_MM
    if row.kind == K.REDUCTION:
        shell = Decimal(str(round(row.bound["shell_left_mm"] - row.bound["taken_mm"], 2)))
        return Decimal("0.01"), shell - Decimal("0.01")
    return None


def of_tooth(case: Case, tooth: str) -> Proposal | None:
    """The last proposal that names a natural tooth as the place of a finding."""
    found = [
        row
        for row in case.proposals.all()
        if row.kind == K.NATURAL and row.tooth == tooth and row.state != ProposalState.WITHDRAWN
    ]
    return found[-1] if found else None
