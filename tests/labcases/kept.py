"""Kept findings with known numbers, so that pages and papers can be held to their words."""

from typing import Any

from labcases.domain import calculations
from labcases.domain.calculations import inputs
from labcases.enums import CheckKind
from labcases.models import Case, CheckRun, User


def tooth(number: str, **more: Any) -> dict[str, Any]:
    """One tooth in one excursion as the engine tells it; in contact as wanted by default."""
    return {
        "tooth": number,
        "role": "working",
        "state": "contact",
        "verdict": "as wanted",
        "gap_mm": 0.02,
        "at_travel_mm": 3.0,
        "sd_mm": 0.12,
        "p_interference": 0.02,
        "conditional": False,
        "series": [[0.0, 0.0], [3.0, 0.02]],
        **more,
    }


INTERFERENCE = {"state": "interference", "verdict": "not as wanted", "gap_mm": -0.37}
APART = {"state": "none predicted", "verdict": "scheme silent", "gap_mm": 0.83}


def reduction(number: str, **more: Any) -> dict[str, Any]:
    """What of a tooth stands in the way of the excursions: its lingual cusp, on the right."""
    return {
        "tooth": number,
        "object": number,
        "vertical_mm": 0.42,
        "normal_mm": 0.38,
        "incline": "lingual inner distal",
        "place": "47",
        "excursion": "right",
        **more,
    }


def excursion(name: str, *teeth: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {
        "excursion": name,
        "travel_mm": 3.0,
        "pin_lift_mm": 0.0,
        "pin_lift_at_mm": 0.0,
        "teeth": list(teeth),
        **more,
    }


def findings(*excursions: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {
        "scheme": "balanced",
        "band_mm": 0.1,
        "excursions": list(excursions)
        or [excursion(name, tooth("16"), tooth("26")) for name in ("protrusive", "right", "left")],
        "assumptions": ["The jaw moves as a rigid body."],
        "warnings": [],
        "left_out": [],
        **more,
    }


def keep(case: Case, by: User, told: dict[str, Any] | None = None) -> CheckRun:
    """A current clearance check of a case, with findings of our own."""
    now = inputs.of(case, CheckKind.CLEARANCE)
    return CheckRun.objects.create(
        case=case,
        kind=CheckKind.CLEARANCE,
        inputs=now,
        inputs_digest=inputs.digest(now),
        findings=told or findings(),
        engine_version=calculations.ENGINE_VERSION,
        by=by,
    )
