"""Denture teeth brought to the height at which they just touch, in centric or at a mark."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from occlusion.errors import BadRequest, NoSolution, NotANumber
from occlusion.frames import Array, check_rigid
from occlusion.ranges import EngineWarning
from occlusion.sources import cite
from occlusion.surfaces.cusps import ToothForm
from occlusion.surfaces.touching import height_to_touch, least_gap
from occlusion.teeth import check_tooth

LEAST_OPPOSED_MM2 = 4.0
"""A tooth that has less than this above or below it has no antagonist (common practice, no
source): on a sliver of a neighbour's flank it would sink by millimetres."""

FAR_MM = 2.0
"""A settling of more than this asks for a second look (common practice, no source)."""

MARK_DEPTH_MM = 0.1
"""A mark may want this depth in centric without a word: the usual contact band."""


@dataclass(frozen=True)
class Mark:
    """A contact that was seen on a denture tooth.

    Attributes
    ----------
    tooth : str
        The denture tooth.
    transform : ndarray, shape (4, 4)
        Position of the lower member in which it touched; ``lower_position`` gives it.

    Raises
    ------
    BadRequest, NotANumber, ImpossibleGeometry
    """

    tooth: str
    transform: Array = field(compare=False)

    def __post_init__(self) -> None:
        check_tooth(self.tooth, field="marks.tooth")
        name = f"marks.{self.tooth}.transform"
        matrix = check_rigid(self.transform, field=name)
        if matrix.shape != (4, 4):
            raise NotANumber(
                f"The mark on tooth {self.tooth} has {matrix.shape[0]} positions. Give one "
                "position a mark.",
                field=name,
            )
        object.__setattr__(self, "transform", matrix)


@dataclass(frozen=True)
class Seated:
    """Both arches after settling, how far each tooth moved, and what is to be said."""

    upper: tuple[ToothForm, ...]
    lower: tuple[ToothForm, ...]
    settled_mm: dict[str, float]
    sentences: list[str]
    warnings: list[EngineWarning]


def seated(
    upper: Sequence[ToothForm], lower: Sequence[ToothForm], marks: Sequence[Mark] = ()
) -> Seated:
    """Both arches with their denture teeth settled.

    First lower denture teeth settle against natural upper ones, then upper denture teeth
    against all lower ones. A tooth with marks gets the height at which it touches in the marked
    position; of several, the one that crosses nothing in any of them.

    Raises
    ------
    BadRequest
        A mark names a tooth that is missing, natural, or settles against nothing.
    NoSolution
        Nothing stands opposite a tooth in the position of its mark.
    """
    at: dict[str, list[Array]] = {}
    for mark in marks:
        at.setdefault(mark.tooth, []).append(mark.transform)
    seat = _Seating(at)
    fixed = [form for form in upper if form.material == "natural"]
    below = tuple(seat.settle(form, fixed, quiet=True) for form in lower)
    above = tuple(seat.settle(form, below) for form in upper)
    seat.refuse_other_marks([*upper, *lower])
    return Seated(above, below, seat.moved, seat.told(above, below), seat.warnings)


class _Seating:
    """Settles tooth by tooth and keeps what there is to say."""

    def __init__(self, at: dict[str, list[Array]]) -> None:
        self.at = at
        self.moved: dict[str, float] = {}
        self.alone: list[str] = []
        self.marked: list[str] = []
        self.warnings: list[EngineWarning] = []

    def settle(
        self, form: ToothForm, others: Sequence[ToothForm], *, quiet: bool = False
    ) -> ToothForm:
        """The tooth where it touches; as it was when it is natural or has no antagonist.

        ``quiet``: not to have an antagonist is no news, for it may follow this tooth.
        """
        if form.material == "natural":
            return form
        found = least_gap(form, others)
        if found.opposed_mm2 < LEAST_OPPOSED_MM2:
            if not quiet:
                self.alone.append(form.tooth)
            return form
        up = found.gap_mm if form.member == "lower" else -found.gap_mm
        if form.tooth in self.at:
            up = self._at_marks(form, others, up)
        self.moved[form.tooth] = up
        if abs(up) > FAR_MM:
            self._warn(
                "settled_far",
                f"Tooth {form.tooth} settles by {up:+.1f} mm from the curve. Confirm the heights "
                "and places of its antagonists.",
            )
        return form.moved(up)

    def _at_marks(self, form: ToothForm, others: Sequence[ToothForm], centric: float) -> float:
        """Height from the marks of a tooth instead of from centric."""
        tooth = form.tooth
        ups = [height_to_touch(form, others, transform) for transform in self.at[tooth]]
        if not all(math.isfinite(up) for up in ups):
            raise NoSolution(
                f"Tooth {tooth} has nothing opposite in the position of its mark. Check the mark "
                "and its position.",
                field=f"marks.{tooth}.transform",
                value=tooth,
            )
        upper = form.member == "upper"
        up = max(ups) if upper else min(ups)
        self.marked.append(tooth)
        apart = max(ups) - min(ups)
        if apart > MARK_DEPTH_MM:
            self._warn(
                "marks_disagree",
                f"The marks on tooth {tooth} want heights {apart:.2f} mm apart. The one that "
                "crosses nothing is taken; confirm the marks.",
            )
        gap = (up - centric) if upper else (centric - up)
        if gap < -MARK_DEPTH_MM:
            self._warn(
                "mark_deep",
                f"For its mark tooth {tooth} would stand {-gap:.2f} mm into its antagonist in "
                f"centric, more than {MARK_DEPTH_MM:g} mm. Confirm the mark, the settings and the "
                "cusp angle.",
            )
        elif gap > MARK_DEPTH_MM:
            self._warn(
                "mark_open",
                f"For its mark tooth {tooth} stands {gap:.2f} mm out of contact in centric. "
                "Confirm the mark, the settings and the cusp angle.",
            )
        return up

    def refuse_other_marks(self, forms: Sequence[ToothForm]) -> None:
        material = {form.tooth: form.material for form in forms}
        for tooth in self.at:
            if tooth in self.marked:
                continue
            if tooth not in material:
                why = "is not in the set-up"
            elif material[tooth] == "natural":
                why = "is natural and keeps its height"
            else:
                why = "settles against nothing: its antagonist follows it, or is missing"
            raise BadRequest(
                f"A mark names tooth {tooth}, which {why}. Name the denture tooth that settles, "
                "or leave the mark out.",
                field="marks.tooth",
                value=tooth,
            )

    def told(self, upper: Sequence[ToothForm], lower: Sequence[ToothForm]) -> list[str]:
        """Sentences on what was settled, and on what was not."""
        said = []
        centric = [tooth for tooth in self.moved if tooth not in self.marked]
        if centric:
            said.append(
                f"Settled vertically until they just touch in centric: {', '.join(centric)}."
            )
        if self.marked:
            said.append(
                f"Height taken from observed marks, not from centric: {', '.join(self.marked)}."
            )
        if self.alone:
            said.append(
                f"Without an antagonist, and therefore not settled: {', '.join(self.alone)}."
            )
        fixed = [form for form in lower if form.material == "natural"]
        for form in upper:
            if form.material == "natural":
                gap = least_gap(form, fixed).gap_mm
                if math.isfinite(gap) and abs(gap) > MARK_DEPTH_MM:
                    where = "above" if gap > 0 else "into"
                    said.append(
                        f"Natural {form.tooth} is laid out {abs(gap):.2f} mm {where} its natural "
                        "antagonists and is not settled; give its tip height or its centre."
                    )
        return said

    def _warn(self, code: str, text: str) -> None:
        self.warnings.append(EngineWarning(code, text, cite("practice")))
