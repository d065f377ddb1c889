"""What the engine is told about a case, as plain values that can be kept.

Every number leaves the database here and becomes a float once. The same case
always gives the same values in the same order, so that a digest tells whether
anything changed.
"""

from __future__ import annotations

import hashlib
import json
from decimal import Decimal
from typing import Any

from labcases import notation
from labcases.domain import opponent, over_eruption, site_values, teeth
from labcases.enums import CheckKind
from labcases.models import ArticulatorRecord, Case, SiteMeasure, ToothSelection

Plain = dict[str, Any]

ARTICULATOR = (
    "intercondylar_mm",
    "condylar_right_deg",
    "condylar_left_deg",
    "bennett_right_deg",
    "bennett_left_deg",
    "side_shift_right_mm",
    "side_shift_left_mm",
    "incisal_table_deg",
    "wing_right_deg",
    "wing_left_deg",
    "table_on",
    "reference_plane",
    "plane_tilt_deg",
    "incisal_x_mm",
    "incisal_z_mm",
    "pin_x_mm",
    "pin_z_mm",
    "pin_opening_mm",
)
FRONT = ("front_guide", "overjet_mm", "overbite_mm")
CALLIPER = (
    "cusp_angle_deg",
    "tip_separation_mm",
    "mesiodistal_mm",
    "buccolingual_mm",
    "tip_height_mm",
    "tilt_deg",
    "behind_incisal_mm",
    "from_midline_mm",
)
DEVIATIONS = (
    "condylar_right_sd_deg",
    "condylar_left_sd_deg",
    "bennett_right_sd_deg",
    "bennett_left_sd_deg",
)
_HEIGHT = (
    "ample",
    "space_mm",
    "space_from",
    "base_min_mm",
    "relief_mm",
    "tooth_height_mm",
    "shell_over_fossa_mm",
    "shell_min_mm",
)


def _plain(value: Any) -> Any:
    return float(value) if isinstance(value, Decimal) else value


def _fields(row: Any, names: tuple[str, ...]) -> Plain:
    return {name: _plain(getattr(row, name)) for name in names}


def articulator(record: ArticulatorRecord) -> Plain:
    return _fields(record, ARTICULATOR)


def clearance(case: Case) -> Plain:
    """Inputs of the clearance check: record, front teeth, scheme, and the teeth of both arches.

    ``teeth`` are the posterior sites of the denture, ``neighbours`` the posterior teeth that
    stay beside them, ``opposing`` the other arch from its canines back. Each has what
    callipers read of it; nothing where they read nothing.
    """
    record: ArticulatorRecord | None = getattr(case, "articulator", None)
    selection: ToothSelection | None = getattr(case, "selection", None)
    prescription = case.prescription
    measured = _measured(case)

    def read(tooth: str) -> Plain:
        row = measured.get(tooth)
        readings = _fields(row, CALLIPER) if row else {}
        return {name: value for name, value in readings.items() if value is not None}

    return {
        "articulator": articulator(record) if record else None,
        "deviations": _given(record, DEVIATIONS),
        "front": _fields(record, FRONT) if record else None,
        "cusp_angle_deg": _plain(selection.cusp_angle_deg) if selection else None,
        "scheme": prescription.scheme or None,
        "arch": prescription.arch,
        "teeth": {
            tooth: {"antagonist": teeth.antagonist(prescription, tooth), **read(tooth)}
            for tooth in teeth.posterior_sites(prescription)
        },
        "neighbours": {tooth: read(tooth) for tooth in teeth.staying(prescription)},
        "opposing": {
            tooth: {"material": str(kind), **read(tooth)}
            for tooth, kind in teeth.opposing(prescription).items()
        },
    }


def height(case: Case) -> Plain:
    """Inputs of the height budget, site by site.

    Where a site has no number of its own, that of the tooth line or of a house counts. Where the
    prescription says that the natural tooth opposite stands out of the plane, the
    site has that too.
    """
    prescription = case.prescription
    heights = over_eruption.heights(prescription)
    being_made = opponent.of(prescription) in opponent.BEING_MADE
    measured = _measured(case)
    selection: ToothSelection | None = getattr(case, "selection", None)

    def opposite(tooth: str) -> Plain:
        other = notation.opposing(tooth)
        if other not in heights:
            return {}
        return {
            "opposite": other,
            "opposite_stands_mm": float(heights[other]),
            "opposite_read": over_eruption.read_by(prescription),
        }

    def counts(site: SiteMeasure | None) -> Plain:
        """What counts where the site has no number of its own."""
        found = site_values.at(case, site)
        return {
            name: _plain(one.value_mm) for name, one in found.items() if one.value_mm is not None
        } | allowed

    house = site_values.defaults(case)["base_min_mm"].value_mm
    allowed = {} if house is None else {"base_allowed_mm": _plain(house)}
    return {
        "material": selection.material if selection else "",
        **({"opponent_being_made": True} if being_made else {}),
        "sites": {
            tooth: {
                "antagonist": teeth.antagonist(prescription, tooth),
                **(_fields(measured[tooth], _HEIGHT) if tooth in measured else {}),
                **counts(measured.get(tooth)),
                **opposite(tooth),
            }
            for tooth in teeth.posterior_sites(prescription)
        },
    }


def _given(record: ArticulatorRecord | None, names: tuple[str, ...]) -> Plain:
    """Those of the fields that hold something."""
    found = _fields(record, names) if record else {}
    return {name: value for name, value in found.items() if value is not None}


def _measured(case: Case) -> dict[str, SiteMeasure]:
    return {row.tooth: row for row in case.sites.all()}


def of(case: Case, kind: CheckKind) -> Plain:
    return clearance(case) if kind == CheckKind.CLEARANCE else height(case)


def digest(values: Plain) -> str:
    return hashlib.sha256(json.dumps(values, sort_keys=True).encode()).hexdigest()


# Groups of inputs: their words stand only where the whole group comes or goes.
_GROUPS = {
    "articulator": "articulator record",
    "front": "front teeth",
    "deviations": "deviations",
    "teeth": "",
    "neighbours": "",
    "opposing": "",
    "sites": "",
}

# A tooth may go from the sites to the teeth that stay: its number alone would not tell which.
_IN_FRONT = {"neighbours": "staying"}


def changes(before: Plain, after: Plain, path: str = "") -> list[str]:
    """What differs, one sentence part each: ``condylar right: 30 → 35``."""
    found: list[str] = []
    for key in sorted({*before, *after}):
        old, new = before.get(key), after.get(key)
        if old == new:
            continue
        name = f"{path} {_words(key)}".strip()
        if isinstance(old, dict) and isinstance(new, dict):
            found.extend(changes(old, new, _IN_FRONT.get(key, "" if key in _GROUPS else name)))
        elif isinstance(new, dict):
            found.append(f"{_GROUPS.get(key) or name}: entered")
        elif isinstance(old, dict):
            found.append(f"{_GROUPS.get(key) or name}: taken out")
        else:
            found.append(f"{name}: {_short(old)} → {_short(new)}")
    return found


def _words(key: str) -> str:
    return key.removesuffix("_mm").removesuffix("_deg").replace("_", " ")


def _short(value: Any) -> str:
    if value is None or value == "":
        return "empty"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)
