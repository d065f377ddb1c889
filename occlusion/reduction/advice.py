"""From one mark to a proposal: which denture tooth, where, how deep, or why not by grinding."""

from __future__ import annotations

from dataclasses import dataclass

from occlusion.errors import BudgetExceeded
from occlusion.ranges import EngineWarning, check_hard
from occlusion.reduction._depth import RESET_BEYOND_MM, DepthLimit, Kind
from occlusion.reduction.denture import DENTIST_DECIDES, DentureTooth, cautions_of
from occlusion.reduction.marks import FoilMark, finding_of
from occlusion.reduction.rules import CONFIRM, Rule, Yield, rule_for
from occlusion.sources import cite
from occlusion.teeth import is_anterior

__all__ = ["RESET_BEYOND_MM", "Proposal", "propose"]


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """What is proposed for a mark; the dentist decides.

    Attributes
    ----------
    kind : str
        ``reduce``; ``re-set`` where grinding would go too deep; ``mark first`` where the
        depth is not worth grinding by; ``dentist decides`` where only a natural tooth could
        yield; ``no rule``; ``nothing left``.
    chosen : DentureTooth or None
        The tooth to work on. A natural tooth cannot stand here.
    at : Yield or None
        Where on that tooth, and what to keep.
    depth_mm : float
        0 unless ``kind`` is ``reduce``; never more than the interference or the budget.
    short_by_mm : float
        What the budget lacks for the whole depth.
    place : str or None
        The natural tooth of the pair, as the place of the finding.
    text, source : str
    cautions : tuple of EngineWarning
    assumptions : tuple of str
        What was not told and how it was taken.
    confirm : bool
        The rule is derived and wants the dentist's word.
    note : str
        What else the rule says of what yields; it stands in ``text`` where that names a depth.
    """

    mark: FoilMark
    kind: Kind
    text: str
    source: str
    chosen: DentureTooth | None = None
    at: Yield | None = None
    depth_mm: float = 0.0
    short_by_mm: float = 0.0
    place: str | None = None
    cautions: tuple[EngineWarning, ...] = ()
    assumptions: tuple[str, ...] = ()
    confirm: bool = False
    note: str = ""

    def __post_init__(self) -> None:
        if self.depth_mm > self.mark.depth_mm or (self.depth_mm > 0.0 and self.chosen is None):
            raise BudgetExceeded(
                f"A reduction of {self.depth_mm:g} mm does not belong to a mark of "
                f"{self.mark.depth_mm:g} mm. Reduce a denture tooth, by the interference at most.",
                field="depth_mm",
                value=self.depth_mm,
                limit=self.mark.depth_mm,
            )


def propose(
    mark: FoilMark,
    *,
    budget_mm: float | None = None,
    taken_mm: float = 0.0,
    gone_mm: float = 0.0,
    insist: bool = False,
) -> Proposal:
    """What to do about one mark.

    Parameters
    ----------
    mark : FoilMark
        Where and how far the teeth interfere.
    budget_mm : float, optional
        What may come off the yielding tooth in all, of ``occlusion.space.site_budget``; None:
        not known.
    taken_mm : float
        What has come off that tooth already.
    gone_mm : float
        How much of that came off at this very place.
    insist : bool
        Grind although re-setting is advised.

    Raises
    ------
    BudgetExceeded
        The caller insists, and the tooth has not so much to give.
    NotANumber, OutOfRange
    """
    taken = check_hard("occlusal_budget_mm", taken_mm, field="taken_mm", label="taken so far")
    gone = check_hard("occlusal_budget_mm", gone_mm, field="gone_mm", label="taken at this place")
    if budget_mm is not None:
        budget_mm = check_hard("occlusal_budget_mm", budget_mm, field="budget_mm")
    finding, assumptions = finding_of(mark)
    rule = rule_for(finding, mark.who)
    if rule is None:
        return _natural_only(mark)
    found = None if mark.crossbite else _who_yields(mark, rule)
    if found is None:
        return _no_rule(mark)
    chosen, at = found
    limit = DepthLimit(mark, chosen, at, budget_mm, taken, max(0.0, mark.depth_mm - gone))
    kind, depth, text = limit.verdict(insist=insist)
    cautions = [
        *limit.cautions(kind, insist=insist),
        *(cautions_of(chosen, against=limit.against) if kind == "reduce" else ()),
    ]
    notes = (rule.note, CONFIRM if rule.confirm else "") if kind == "reduce" else ()
    return Proposal(
        mark=mark,
        kind=kind,
        text=" ".join(part for part in (text, *notes) if part),
        source=cite(rule.source),
        chosen=chosen,
        at=at,
        depth_mm=depth,
        short_by_mm=limit.short_by_mm,
        place=mark.natural_tooth,
        cautions=tuple(cautions),
        assumptions=assumptions,
        confirm=rule.confirm,
        note=rule.note,
    )


def _who_yields(mark: FoilMark, rule: Rule) -> tuple[DentureTooth, Yield] | None:
    """The first surface of the row that exists on a denture tooth, by preference."""
    for at in sorted(rule.yields, key=lambda one: one.member != mark.prefer if mark.prefer else 0):
        chosen = mark.tooth_object(at.member)
        if chosen and is_anterior(chosen.tooth) == (at.site == "front surface"):
            return chosen, at
    return None


def _natural_only(mark: FoilMark) -> Proposal:
    return Proposal(
        mark=mark,
        kind="dentist decides",
        text=f"{mark.lower} meets {mark.upper}, and both are natural: the dentist decides. "
        f"{DENTIST_DECIDES}",
        source=cite("bruce"),
        place=mark.natural_tooth,
    )


def _no_rule(mark: FoilMark) -> Proposal:
    why = (
        "in a crossbite other cusps carry the vertical"
        if mark.crossbite
        else "a front tooth meets a posterior one"
    )
    return Proposal(
        mark=mark,
        kind="no rule",
        text=f"No rule covers {mark.upper} against {mark.lower}: {why}. Ask the dentist before "
        "anything is ground.",
        source=cite("practice"),
        place=mark.natural_tooth,
    )
