"""Kept comparisons of marks with known numbers, so that no engine is asked for a page's words."""

from typing import Any

from labcases.domain import bench, calculations, explaining
from labcases.domain.calculations import inputs
from labcases.enums import SettingsOrigin
from labcases.management.walk import Walk
from labcases.models import Case, MarksCompared, User

ASSUMED = "One change at a time is tried, everything else as entered."


def row(movement: str, tooth: str, agreement: str, predicted: str = "interference", **more: Any):
    return {
        "movement": movement,
        "tooth": tooth,
        "marked": agreement in ("predicted and seen", "seen, not predicted"),
        "agreement": agreement,
        "predicted": predicted,
        "gap_mm": -0.2,
        "lifted": False,
        **more,
    }


def setting(field: str = "condylar_right_deg", **more: Any) -> dict[str, Any]:
    """The right condylar inclination would be 38.2 deg."""
    return {
        "kind": "setting",
        "name": "right condylar inclination",
        "field": field,
        "tooth": "",
        "unit": "deg",
        "value": 38.24,
        "change": 8.24,
        "sd": 2.14,
        "explained": 30,
        "odds": 100.0,
        **more,
    }


def of_tooth(tooth: str, kind: str = "denture tooth", change: float = 0.234) -> dict[str, Any]:
    return {
        **setting(""),
        "kind": kind,
        "name": tooth,
        "tooth": tooth,
        "unit": "mm",
        "value": None,
        "change": change,
        "sd": 0.031,
    }


def findings(best: dict[str, Any] | None = None, **more: Any) -> dict[str, Any]:
    name = best["name"] if best else ""
    return {
        "kind": "explained" if best else "not explained",
        "text": f"One change explains the marks: {name}. It explains 30 of the 32 readings.",
        "action": f"Look at {name}." if best else "Mark again in a fresh pass.",
        "told_apart": True,
        "readings": 32,
        "explained_before": 24,
        "rows": [
            row("right lateral", "16", "predicted and seen"),
            row("right lateral", "25", "predicted, not seen", lifted=True),
            row("right lateral", "17", "seen, not predicted", "none predicted"),
            row("right lateral", "14", "predicted and seen", "contact"),
            row("right lateral", "26", "neither", "none predicted"),
        ],
        "best": best,
        "runner_up": None,
        "unused": [],
        "assumptions": [ASSUMED],
        **more,
    }


def keep(case: Case, by: User, best: dict[str, Any] | None = None, **more: Any) -> MarksCompared:
    """A current comparison of a case."""
    told = explaining.told_of(case)
    return MarksCompared.objects.create(
        case=case,
        inputs=told,
        inputs_digest=inputs.digest(told),
        findings=findings(best, **more),
        engine_version=calculations.ENGINE_VERSION,
        by=by,
    )


def kept_with_own_settings(walk: Walk) -> None:
    """Settings that the laboratory chose itself, and a comparison that would change one."""
    bench.save_articulator(
        case=walk.reload(),
        version=walk.case.articulator.version,
        by=walk.hands.technician,
        values={"origin": SettingsOrigin.AVERAGE},
    )
    keep(walk.reload(), walk.hands.technician, setting())


def follow(walk: Walk) -> None:
    """Adopt what the last comparison says."""
    explaining.adopt(run=walk.reload().marks_compared.last(), by=walk.hands.technician)
