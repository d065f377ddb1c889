"""Several marks together: steps in order, with what each tooth has given so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from occlusion.articulator import Member
from occlusion.ranges import check_hard
from occlusion.reduction.advice import Proposal, propose
from occlusion.reduction.marks import FoilMark
from occlusion.reduction.rules import ORDER, RECHECK
from occlusion.sources import cite
from occlusion.teeth import check_tooth

STEP_TEXTS: dict[str, str] = {
    "vertical": "Bring the pin back to the agreed reading before anything else.",
    "centric": "Even contacts in maximum intercuspation.",
    "working": "Working side: the outer slopes slide, nothing strikes.",
    "balancing": "Balancing side: free the path, and keep one of the two cusps as it is.",
    "protrusive": "Protrusive: posterior teeth, then front teeth.",
}


@dataclass(frozen=True)
class Step:
    """One step of selective grinding.

    ``afterwards`` is empty for the first step, which has nothing ground yet.
    """

    name: str
    text: str
    proposals: tuple[Proposal, ...]
    afterwards: str
    source: str


def steps_for(
    marks: Sequence[FoilMark],
    *,
    budgets_mm: Mapping[str, float] | None = None,
    taken_mm: Mapping[str, float] | None = None,
) -> tuple[Step, ...]:
    """Proposals for marks in the order of selective grinding.

    What a step takes off a tooth is missing from its budget in the next, and a place that
    was ground already is only ground for what remains. Depths of later steps change with
    every reduction: mark again before each.

    Parameters
    ----------
    marks : sequence of FoilMark
        In any order; those of a step keep theirs.
    budgets_mm : mapping of str to float, optional
        What each tooth has to give in all.
    taken_mm : mapping of str to float, optional
        What each has given before.

    Returns
    -------
    tuple of Step
        All five, also those without a mark.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    budgets = _by_tooth(budgets_mm, "budgets_mm")
    taken = _by_tooth(taken_mm, "taken_mm")
    gone: dict[tuple[str, str], float] = {}
    yielded: dict[tuple[str, str, str], Member] = {}
    steps = []
    for name in ORDER:
        proposals = []
        for mark in (mark for mark in marks if mark.role == name):
            pair = (name, mark.upper, mark.lower)
            # A second mark of the same pair must not turn to the other cusp: never both.
            one = replace(mark, prefer=yielded.get(pair, mark.prefer))
            proposal = _next(one, budgets, taken, gone)
            proposals.append(proposal)
            if proposal.chosen is not None and proposal.at is not None:
                yielded.setdefault(pair, proposal.at.member)
                tooth, place = proposal.chosen.tooth, proposal.at.place
                taken[tooth] = taken.get(tooth, 0.0) + proposal.depth_mm
                gone[tooth, place] = gone.get((tooth, place), 0.0) + proposal.depth_mm
        steps.append(
            Step(
                name,
                STEP_TEXTS[name],
                tuple(proposals),
                RECHECK if name != "vertical" else "",
                cite("grinding_lecture"),
            )
        )
    return tuple(steps)


def _next(
    mark: FoilMark,
    budgets: Mapping[str, float],
    taken: Mapping[str, float],
    gone: Mapping[tuple[str, str], float],
) -> Proposal:
    """The proposal, once it is known which tooth yields and what that one has given."""
    first = propose(mark)
    if first.chosen is None or first.at is None:
        return first
    tooth = first.chosen.tooth
    return propose(
        mark,
        budget_mm=budgets.get(tooth),
        taken_mm=taken.get(tooth, 0.0),
        gone_mm=gone.get((tooth, first.at.place), 0.0),
    )


def _by_tooth(values: Mapping[str, float] | None, field: str) -> dict[str, float]:
    return {
        check_tooth(tooth, field=field): check_hard(
            "occlusal_budget_mm", value, field=f"{field}.{tooth}"
        )
        for tooth, value in (values or {}).items()
    }
