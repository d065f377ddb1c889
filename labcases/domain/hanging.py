"""What hangs on the dentist's answer to a proposal, told before it is given."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from labcases.domain import calendars, foreseeing, outlook, planning, reductions, taking_back
from labcases.domain import proposal_reading as reading
from labcases.domain.calculations import CannotCompute
from labcases.domain.foreseeing import Surgery
from labcases.domain.proposal_table import SETTINGS, TABLE
from labcases.enums import CheckKind, Route, Stage, Thing
from labcases.enums.proposals import CARRIED_OUT, ProposalKind, ProposalState
from labcases.models import Case, Proposal
from labcases.templatetags.units import mm

K = ProposalKind

NATURAL_TOOTH = (
    "Your word is recorded and shown beside the finding. Nothing else follows: the laboratory "
    "changes no natural tooth, and no depth is proposed for one."
)


@dataclass(frozen=True)
class Hangs:
    """What an answer does to the case as it stands.

    ``does`` is what is carried out in the same act, ``things`` what no longer counts, ``checks``
    which kept checks go stale, ``gates`` what the way forward asks for anew.
    """

    answer: ProposalState
    label: str
    does: tuple[str, ...]
    at: Stage
    to: Stage
    things: tuple[Thing, ...] = ()
    checks: tuple[str, ...] = ()
    gates: tuple[str, ...] = ()
    days_lost: int = 0
    surgery: Surgery | None = None

    @property
    def moves(self) -> bool:
        return self.to != self.at

    @property
    def taken_back(self) -> list[str]:
        return [str(thing.label) for thing in self.things]

    @property
    def sentences(self) -> list[str]:
        """Everything in order, to be kept with the answer."""
        found = [*self.does]
        if self.moves:
            found.append(f"The case goes back to {self.to.label.lower()}.")
        found += [f"{check} goes stale." for check in self.checks]
        found += self.taken_back
        found += [f"{gate}." for gate in self.gates]
        if self.days_lost:
            found.append(f"{self.days_lost} working days of the plan are done again.")
        return found


def hangs(
    row: Proposal,
    answer: ProposalState,
    *,
    number: Decimal | None = None,
    today: date | None = None,
) -> Hangs:
    """What an answer would do; of a change without a number, with the one that is given."""
    case, kind = row.case, K(row.kind)
    at, label = Stage(case.stage), reading.label(row.kind, answer)
    if answer not in CARRIED_OUT:
        return Hangs(answer, label, tuple(_no(row)), at, at)
    rule = TABLE[kind]
    order = list(Stage)
    to = rule.to if rule.to and order.index(rule.to) < order.index(at) else at
    things = tuple(taking_back.there_is(case, rule.things))
    day = today or calendars.today_of(case.office)
    surgery = foreseeing.surgery_after(case, case.surgery_on, to, day) if to != at else None
    value = number if answer == ProposalState.CHANGE else row.proposed
    return Hangs(
        answer=answer,
        label=label,
        does=tuple(_DOES[kind](row, value)),
        at=at,
        to=to,
        things=things,
        checks=tuple(_stale_checks(case, kind)),
        gates=tuple(_gates(row, things)),
        days_lost=outlook.lost_days(
            course=planning.course_of(case.prescription),
            at=at,
            to=to,
            houses=planning.houses_of(case),
        ),
        surgery=surgery,
    )


def _stale_checks(case: Case, kind: ProposalKind) -> Iterator[str]:
    """Kept checks whose inputs change. A new vertical takes both back as a thing of its own."""
    if kind == K.SETTING and case.check_runs.filter(kind=CheckKind.CLEARANCE).exists():
        yield "The clearance check"


def _gates(row: Proposal, things: tuple[Thing, ...]) -> Iterator[str]:
    kind = K(row.kind)
    if kind == K.ARRANGEMENT and Thing.WAX not in things:
        return
    tried = row.case.prescription.route == Route.CONVENTIONAL
    for stage, text in TABLE[kind].gates:
        if stage == Stage.TRY_IN and not tried:
            continue
        if kind == K.VERTICAL and stage == Stage.PROCESSING and not tried:
            yield "Into processing: the ledger balances at the new value"
            continue
        yield f"Into {stage.label.lower()}: {text}"


# --- what is carried out -----------------------------------------------------------------------


def _given(value: Decimal | None, said: Callable[[Decimal], str]) -> str:
    return "the number that you give" if value is None else said(value)


def _setting(row: Proposal, value: Decimal | None) -> Iterator[str]:
    label = SETTINGS[row.field].label
    yield (
        f"The {label} in the articulator record becomes "
        f"{_given(value, lambda number: reading.shown(row, number))}, as approved by the dentist."
    )


def _reduction(row: Proposal, value: Decimal | None) -> Iterator[str]:
    yield (
        f"Denture tooth {row.tooth} may be reduced by up to {_given(value, mm)} more; its budget "
        f"then says: allowed by the dentist, proposal {row.number}."
    )
    if value is not None:
        yield from shell(row, value)
    yield "No other tooth is allowed anything by it."


def shell(row: Proposal, value: Decimal) -> Iterator[str]:
    """What a depth would leave of the tooth, from the height budget."""
    try:
        found = reductions.beyond(row.case, row.tooth, float(value))
    except CannotCompute:
        return
    after, least = (
        Decimal(str(round(one, 2))) for one in (found.shell_after_mm, found.shell_min_mm)
    )
    yield (
        f"That leaves a shell of {mm(after)} over the fossa; the least on the material sheet is "
        f"{mm(least)}."
    )


def _natural(_row: Proposal, _value: Decimal | None) -> Iterator[str]:
    yield NATURAL_TOOTH


def _vertical(row: Proposal, value: Decimal | None) -> Iterator[str]:
    yield (
        f"The agreed pin value becomes {_given(value, mm)} from pin zero, and the vertical ledger "
        "must balance to it before processing and again before release."
    )
    yield "A new jaw record is taken at that vertical, and the casts are mounted by it."
    yield "The space at each site is read again at that vertical."
    if row.case.prescription.route == Route.CONVENTIONAL:
        yield "The set-up is tried in at that vertical before the final wax."
    else:
        yield (
            "No try-in exists on the interim route: the new vertical is first seen in the mouth at "
            "delivery."
        )


def _arrangement(row: Proposal, _value: Decimal | None) -> Iterator[str]:
    yield (
        f"The laboratory sets {row.tooth} as proposed, or as you say, in place of copying the "
        "natural arrangement. The final wax shows it."
    )


_DOES: dict[ProposalKind, Callable[[Proposal, Decimal | None], Iterator[str]]] = {
    K.SETTING: _setting,
    K.REDUCTION: _reduction,
    K.NATURAL: _natural,
    K.VERTICAL: _vertical,
    K.ARRANGEMENT: _arrangement,
}


def _no(row: Proposal) -> Iterator[str]:
    yield {
        K.SETTING: "The setting stays as it is.",
        K.REDUCTION: "Nothing beyond the budget comes off: the tooth is set again, or another way "
        "out is taken.",
        K.NATURAL: NATURAL_TOOTH,
        K.VERTICAL: "The vertical stays as agreed; another way out is taken.",
        K.ARRANGEMENT: "The natural arrangement is copied.",
    }[K(row.kind)]
    yield "It is recorded, and what waited for it goes on without it."
