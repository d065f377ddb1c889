"""Height budget per site: is there room for base and tooth, and what could be done."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from decimal import Decimal
from typing import Any

from labcases.domain import over_eruption
from labcases.domain.calculations.inputs import Plain
from occlusion import __version__, space
from occlusion.errors import OcclusionError

AMPLE_MM = 10.0
"""From this height on a site may be ticked ample without a budget (common practice, no source)."""

_NEEDED = {
    "space_mm": "space",
    "base_min_mm": "least base thickness",
    "tooth_height_mm": "tooth height",
    "shell_over_fossa_mm": "shell over the fossa",
    "shell_min_mm": "least shell",
}


@dataclass(frozen=True)
class HeightRow:
    """One site. Numbers are millimetres, or nothing where there is no budget.

    ``verdict`` is one of ``ample``, ``fits``, ``short``, ``not measured`` and
    ``no antagonist``. ``finding`` says of a natural tooth opposite what the prescription says:
    a finding for the dentist, and nothing that counts as a way out.
    """

    tooth: str
    verdict: str
    antagonist: str | None
    text: str = ""
    space_mm: float | None = None
    hollow_mm: float | None = None
    occlusal_budget_mm: float | None = None
    shell_left_mm: float | None = None
    short_by_mm: float | None = None
    ways_out: tuple[str, ...] = ()
    finding: str = ""


@dataclass(frozen=True)
class HeightBudget:
    rows: tuple[HeightRow, ...]
    assumptions: tuple[str, ...]
    engine_version: str


def budget(told: Plain) -> HeightBudget:
    """Every posterior site of a case, in mouth order."""
    rows = tuple(
        replace(_row(tooth, values), finding=_finding(values))
        for tooth, values in told["sites"].items()
    )
    assumptions = [
        "Space is the distance from ridge to opposing tooth at the prescribed vertical.",
        "An opened pin is a temporary aid and is never counted as room.",
    ]
    if told.get("opponent_being_made"):
        assumptions.append(
            "The opposing denture is being made: its teeth stand where they are planned, and the "
            "space is read again when they are set."
        )
    if told.get("material") == "porcelain":
        assumptions.append(
            "Porcelain teeth: hollow-grinding takes away their hold in the base; ask the dentist "
            "before any."
        )
    return HeightBudget(rows, tuple(assumptions), __version__)


def findings(told: Plain) -> dict[str, Any]:
    found = budget(told)
    return {
        "rows": [_kept(row) for row in found.rows],
        "assumptions": list(found.assumptions),
    }


def _kept(row: HeightRow) -> dict[str, Any]:
    """As it is kept; what is not there is not kept either."""
    kept = {**asdict(row), "ways_out": list(row.ways_out)}
    return kept if row.finding else {k: v for k, v in kept.items() if k != "finding"}


def _finding(values: Plain) -> str:
    if values.get("opposite") is None:
        return ""
    said = over_eruption.finding(values["opposite"], Decimal(str(values["opposite_stands_mm"])))
    return (
        f"{said} As prescribed ({values['opposite_read']}); the space is read to this tooth, so "
        "the height is in it."
    )


def _row(tooth: str, values: Plain) -> HeightRow:
    antagonist = values["antagonist"]
    if antagonist is None:
        return HeightRow(tooth, "no antagonist", None, "No opposing tooth, so no budget.")
    space_mm = values.get("space_mm")
    ticked = bool(values.get("ample"))
    if ticked and (space_mm is None or space_mm >= AMPLE_MM):
        return HeightRow(
            tooth, "ample", antagonist, f"Ticked as ample: {AMPLE_MM:g} mm or more at this site."
        )
    absent = [label for name, label in _NEEDED.items() if values.get(name) is None]
    if absent:
        return HeightRow(
            tooth,
            "not measured",
            antagonist,
            f"Ticked as ample, but {space_mm:g} mm is less than {AMPLE_MM:g} mm. "
            f"Enter {', '.join(absent)}."
            if ticked
            else f"Enter {', '.join(absent)}, or tick the site as ample.",
            space_mm=space_mm,
        )
    try:
        found = space.site_budget(
            tooth=tooth,
            space_mm=values["space_mm"],
            space_from=values["space_from"],
            base_min_mm=values["base_min_mm"],
            relief_mm=values.get("relief_mm") or 0.0,
            tooth_height_mm=values["tooth_height_mm"],
            shell_over_fossa_mm=values["shell_over_fossa_mm"],
            shell_min_mm=values["shell_min_mm"],
            base_allowed_mm=values.get("base_allowed_mm"),
        )
    except OcclusionError as refusal:
        return HeightRow(
            tooth, "not measured", antagonist, str(refusal), space_mm=values["space_mm"]
        )
    return HeightRow(
        tooth=tooth,
        verdict="fits" if found.fits else "short",
        antagonist=antagonist,
        space_mm=values["space_mm"],
        hollow_mm=found.hollow_mm,
        occlusal_budget_mm=found.occlusal_budget_mm,
        shell_left_mm=found.shell_left_mm,
        short_by_mm=found.short_by_mm,
        ways_out=tuple(found.ways_out),
    )
