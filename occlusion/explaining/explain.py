"""Marks of foil against the prediction, and which single change would explain them."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

from occlusion.articulator import ArticulatorSettings
from occlusion.clearance import BAND_MM, AskedExcursion
from occlusion.clearance.callipers import DENTURE_CUSP_DEG, NATURAL_CUSP_DEG, oppose
from occlusion.explaining import words
from occlusion.explaining.causes import Cause, possible_causes
from occlusion.explaining.gaps import Gaps, Moved
from occlusion.explaining.model import (
    MOVEMENTS,
    Agreement,
    Explanation,
    Fit,
    Kind,
    Movement,
    SeenMark,
    SeenPass,
    ToothRow,
)
from occlusion.explaining.weighing import (
    FOIL_MM,
    Readings,
    Weighed,
    cost_as_entered,
    readings_of,
    weighed,
)
from occlusion.front import FrontGuidance
from occlusion.ranges import check_hard
from occlusion.spread import Measured
from occlusion.spread.first_order import as_read, check_readings
from occlusion.surfaces.arches import Arches

LEAST_ODDS = 8.0
"""A change explains clearly better than none from these odds on (common practice, no source)."""

TOLD_APART = 5.0
"""A runner-up is ruled out when the best change explains so many times better (common practice,
no source)."""

CUSPS = {"natural": NATURAL_CUSP_DEG, "denture": DENTURE_CUSP_DEG}


def explain(
    *,
    settings: ArticulatorSettings,
    arches: Arches,
    asked: Sequence[AskedExcursion],
    passes: Sequence[SeenPass],
    front: FrontGuidance | None = None,
    band_mm: float = BAND_MM,
    half_widths: Mapping[str, float] | None = None,
    readings: Mapping[str, Measured] | None = None,
    own: Collection[str] | None = None,
) -> Explanation:
    """Compare marks with the prediction and look for the one change that explains them.

    Parameters
    ----------
    settings : ArticulatorSettings
        As entered; angles deg, lengths mm.
    arches : Arches
        Both arches from callipers, settled.
    asked : sequence of AskedExcursion
        The three excursions as the clearance check follows them; for a pass in centric the
        protrusive one must be among them.
    passes : sequence of SeenPass
        What was seen, in any order; marks of several passes of one movement count together.
    front : FrontGuidance, optional
        Front teeth that may guide.
    band_mm : float
        Overlap or gap that counts as contact.
    half_widths, readings : mapping, optional
        Reading errors of the settings, as for ``occlusion.spread.draws_of``.
    own : collection of str, optional
        Teeth of the denture that is made, which alone are re-set; None: every denture tooth.

    Raises
    ------
    OcclusionError
        Any refusal of settings, movements or teeth.
    """
    given = check_readings(readings)
    settings = as_read(settings, given)
    gaps = gaps_of(
        settings=settings,
        arches=arches,
        asked=asked,
        movements=[one for one in MOVEMENTS if any(seen.movement == one for seen in passes)],
        front=front,
        band_mm=band_mm,
    )
    causes = possible_causes(
        settings,
        (*arches.upper, *arches.lower),
        half_widths=half_widths,
        readings=given or None,
        own=own,
    )
    return compare(gaps, passes, causes)


def gaps_of(
    *,
    settings: ArticulatorSettings,
    arches: Arches,
    asked: Sequence[AskedExcursion],
    movements: Sequence[Movement] = MOVEMENTS,
    front: FrontGuidance | None = None,
    band_mm: float = BAND_MM,
) -> Gaps:
    """What ``compare`` asks of a set-up; parameters are those of ``explain``."""
    return Gaps(
        settings=settings,
        arches=arches,
        surfaces=oppose(arches, cusp_half_width_deg=CUSPS),
        front=front,
        asked=asked,
        movements=movements,
        band_mm=check_hard("band_mm", band_mm),
    )


def compare(gaps: Gaps, passes: Sequence[SeenPass], causes: Sequence[Cause]) -> Explanation:
    """The same as ``explain`` for gaps that are worked out already."""
    held, carried, unused = _held(gaps, passes)
    seen = readings_of(gaps, held)
    marked = any(one.marked.any() for one in seen)
    entered = cost_as_entered(seen) if marked else None
    found: list[Weighed] = []
    if entered is not None:
        every = [weighed(gaps, seen, cause) for cause in causes]
        found = sorted(
            (one for one in every if one is not None),
            key=lambda one: (-one.log_odds, one.cause.name),
        )
    fits = [_fit(one, len(found)) for one in found[:2]]
    better = bool(fits) and fits[0].odds >= LEAST_ODDS
    best = fits[0] if better and found[0].fits else None
    kind: Kind = "explained" if best else "not explained"
    if entered is None:
        kind = "nothing to explain"
    elif not better and entered.fits():
        kind = "as predicted"
    runner_up = fits[1] if best is not None and len(fits) > 1 else None
    apart = best is None or runner_up is None or best.odds >= TOLD_APART * runner_up.odds
    readings = sum(int(one.moved.seen.sum()) for one in seen)
    before = int(entered.explained[0]) if entered is not None else 0
    text, action = words.told(
        kind=kind,
        best=best,
        runner_up=runner_up,
        told_apart=apart,
        readings=readings,
        before=before,
    )
    return Explanation(
        kind=kind,
        rows=tuple(row for one in seen for row in _rows(one, gaps.names)),
        best=best,
        runner_up=runner_up,
        told_apart=apart,
        readings=readings,
        explained_before=before,
        text=text,
        action=action,
        unused=unused,
        assumptions=(
            *words.assumptions([one.moved.movement for one in seen], gaps.band_mm, len(found)),
            *carried,
            *words.left_out(unused),
            *gaps.arches.assumptions,
        ),
        warnings=gaps.surfaces.warnings,
    )


def _fit(found: Weighed, causes: int) -> Fit:
    """With the choice among all causes counted against it."""
    return Fit(
        cause=found.cause,
        change=found.change,
        sd=found.sd,
        explained=found.explained,
        odds=math.exp(min(found.log_odds - math.log(causes), 300.0)),
    )


def _held(
    gaps: Gaps, passes: Sequence[SeenPass]
) -> tuple[list[SeenPass], tuple[str, ...], tuple[str, ...]]:
    """The passes with every mark on a tooth that the model tells of, and what was carried over.

    A mark on an opposing tooth is that of the tooth which passes over it and marked too, else of
    the one that comes nearest to it.
    """
    moved = {one.movement: one for one in gaps.moved}
    marked = {
        movement: {mark.tooth for one in passes if one.movement == movement for mark in one.marks}
        for movement in moved
    }
    held, carried, unused = [], set[str](), set[str]()
    for one in passes:
        marks = []
        for mark in one.marks:
            over = _over(gaps, moved[one.movement], mark.tooth)
            if mark.tooth in gaps.names:
                marks.append(mark)
            elif not over:
                unused.add(mark.tooth)
            elif not marked[one.movement] & set(over):
                marks.append(SeenMark(over[0], mark.strength))
                carried.add(words.carried_over(mark.tooth, one.movement, over[0]))
        held.append(SeenPass(one.movement, tuple(marks)))
    return held, tuple(sorted(carried)), tuple(sorted(unused))


def _over(gaps: Gaps, moved: Moved, tooth: str) -> list[str]:
    """Teeth that pass over an opposing one, the nearest first."""
    least = moved.nominal.min(axis=0)
    those = [
        (float(least[r]), name)
        for r, name in enumerate(gaps.names)
        if moved.opposite[r] == tooth and moved.seen[r]
    ]
    return [name for _gap, name in sorted(those)]


def _rows(one: Readings, names: Sequence[str]) -> list[ToothRow]:
    """Prediction beside mark, tooth by tooth."""
    moved, band = one.moved, one.band_mm
    carried = one.carried(moved.nominal[None])[0]
    found = []
    for r, name in enumerate(names):
        if not moved.seen[r]:
            continue
        marked = bool(one.marked[r])
        gap = float(moved.nominal[moved.counts[:, r], r].min())
        agreement: Agreement
        if marked:
            agreement = "predicted and seen" if gap <= band else "seen, not predicted"
        else:
            agreement = "predicted, not seen" if gap < -band else "neither"
        found.append(
            ToothRow(
                movement=moved.movement,
                tooth=name,
                marked=marked,
                agreement=agreement,
                predicted=moved.predicted[r],
                gap_mm=gap,
                lifted=agreement == "predicted, not seen" and bool(carried[r] > FOIL_MM),
            )
        )
    return found
