"""How deep a chosen place may be ground: the limits, in the order in which they speak."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from occlusion.errors import BudgetExceeded
from occlusion.ranges import EngineWarning
from occlusion.reduction.denture import DENTIST_DECIDES, DentureTooth, Material
from occlusion.reduction.marks import FoilMark
from occlusion.reduction.rules import Yield
from occlusion.sources import cite
from occlusion.surfaces.calliper import LEAST_DEPTH_MM

Kind = Literal["reduce", "re-set", "mark first", "dentist decides", "no rule", "nothing left"]

RESET_BEYOND_MM = 0.5
"""More than this at one tooth is a matter of its place, not of its surface (common
practice, no source: "beyond about 0.5 to 1 mm re-set")."""

ROUND_OFF = 1e-9


@dataclass(frozen=True)
class DepthLimit:
    """A chosen place, what is wanted of it, and what its tooth has to give."""

    mark: FoilMark
    chosen: DentureTooth
    at: Yield
    budget_mm: float | None
    taken_mm: float
    wanted_mm: float

    @property
    def against(self) -> Material:
        upper = self.at.member == "upper"
        return self.mark.lower_material if upper else self.mark.upper_material

    @property
    def left_mm(self) -> float:
        if self.budget_mm is None:
            return math.inf
        return max(0.0, self.budget_mm - self.taken_mm)

    @property
    def short_by_mm(self) -> float:
        short = self.wanted_mm - self.left_mm
        return short if short > ROUND_OFF else 0.0

    @property
    def beyond(self) -> bool:
        return self.taken_mm + self.wanted_mm > RESET_BEYOND_MM + ROUND_OFF

    def verdict(self, *, insist: bool) -> tuple[Kind, float, str]:
        where = f"{self.chosen.tooth}, {self.at.place}"
        depth = min(self.wanted_mm, self.left_mm)
        if self.wanted_mm <= ROUND_OFF:
            return "nothing left", 0.0, f"{where}: nothing left to take. Mark again."
        if self.mark.measured_by == "callipers" and self.wanted_mm < LEAST_DEPTH_MM - ROUND_OFF:
            return (
                "mark first",
                0.0,
                f"{where}: {up(self.wanted_mm)} mm from calliper values is too little to grind by."
                " Mark with foil first.",
            )
        if self.short_by_mm and insist:
            raise BudgetExceeded(
                f"{where}: {up(self.wanted_mm)} mm is asked for, and {down(self.left_mm)} mm is "
                f"left of the budget. Re-set the tooth, or ask the dentist.",
                field="depth_mm",
                value=self.wanted_mm,
                limit=self.left_mm,
            )
        if self.short_by_mm:
            return (
                "re-set",
                0.0,
                f"{where}: re-set, do not grind: short by {up(self.short_by_mm)} mm.{self._ask()}",
            )
        if self.beyond and not insist:
            total = self.taken_mm + self.wanted_mm
            return (
                "re-set",
                0.0,
                f"{where}: {up(total)} mm in all; beyond about 0.5 to 1 mm re-set the tooth "
                f"instead of grinding it (common practice, no source).{self._ask()}",
            )
        return "reduce", depth, f"{where}: reduce by at most {down(depth)} mm. {self._keep()}"

    def cautions(self, kind: Kind, *, insist: bool) -> tuple[EngineWarning, ...]:
        found = []
        if kind == "reduce" and self.budget_mm is None:
            found.append(
                EngineWarning(
                    "no_budget",
                    f"What {self.chosen.tooth} has to give is not known. Read its height budget "
                    "before grinding.",
                    cite("practice"),
                )
            )
        if kind == "reduce" and insist and self.beyond:
            found.append(
                EngineWarning(
                    "beyond_usual",
                    f"{self.chosen.tooth} loses {up(self.taken_mm + self.wanted_mm)} mm in all. "
                    "Beyond about 0.5 to 1 mm a tooth is re-set.",
                    cite("practice"),
                )
            )
        return tuple(found)

    def _keep(self) -> str:
        if self.mark.supporting and self.at.incline is not None and not self.at.supporting:
            return "Keep the tip of this cusp: it is said to carry the vertical."
        return self.at.keep

    def _ask(self) -> str:
        return f" {DENTIST_DECIDES}" if self.against == "natural" else ""


def up(value_mm: float) -> str:
    """A least amount, never rounded down."""
    return f"{math.ceil(value_mm * 100.0 - 1e-6) / 100.0:.2f}"


def down(value_mm: float) -> str:
    """A greatest amount, never rounded up."""
    return f"{math.floor(value_mm * 100.0 + 1e-6) / 100.0:.2f}"
