"""The verb ``space``: the height budget of sites."""

from __future__ import annotations

from occlusion import space as spaces
from occlusion.door.shared import Plain, plain
from occlusion.errors import OcclusionError
from occlusion.ranges import EngineWarning
from occlusion.requests import REQUIRED, take, take_list
from occlusion.sources import MODEL_LIMITS


def space(request: object) -> Plain:
    """The height budget of sites."""
    told = take(request, field="", keys={"sites": REQUIRED})
    keys: Plain = {
        "tooth": REQUIRED,
        "space_mm": REQUIRED,
        "space_from": "healed ridge",
        "base_min_mm": REQUIRED,
        "relief_mm": 0,
        "tooth_height_mm": REQUIRED,
        "shell_over_fossa_mm": REQUIRED,
        "shell_min_mm": REQUIRED,
        "base_allowed_mm": None,
        "approved_raise_mm": 0,
        "pin_ratio": None,
    }
    rows: list[Plain] = []
    assumed: list[str] = []
    warnings: list[EngineWarning] = []
    for index, entry in enumerate(take_list(told["sites"], field="sites")):
        values = take(entry, field=f"sites.{index}", keys=keys)
        try:
            found = spaces.site_budget(**values)
        except OcclusionError as refusal:
            refusal.field = f"sites.{index}.{refusal.field}"
            raise
        assumed += [
            f"Site {found.tooth}: {key} is not given: {keys[key]}."
            for key in ("space_from", "relief_mm", "approved_raise_mm")
            if key not in entry
        ]
        warnings += found.warnings
        rows.append(
            {
                "tooth": found.tooth,
                "hollow_mm": found.hollow_mm,
                "occlusal_budget_mm": found.occlusal_budget_mm,
                "shell_left_mm": found.shell_left_mm,
                "fits": found.fits,
                "short_by_mm": found.short_by_mm,
                "ways_out": list(found.ways_out),
                "reading_half_width_mm": found.reading_half_width_mm,
            }
        )
    return {
        "sites": rows,
        "assumptions": [
            *assumed,
            "Space is at the prescribed vertical. An opened pin is a temporary aid and is never "
            "counted as room.",
            "What may come off the occlusal surface is also at most half the cusp's height, so "
            "that the form remains.",
            MODEL_LIMITS[0],
        ],
        "warnings": plain(warnings),
    }
