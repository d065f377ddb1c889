"""The verb ``records``: settings of the articulator read off check records."""

from __future__ import annotations

from dataclasses import asdict

from occlusion.door.shared import Plain, plain
from occlusion.records.check_records import settings_from_check_records
from occlusion.requests import REQUIRED, take, take_list
from occlusion.sources import MODEL_LIMITS

GIVEN_SD_MM = 0.1


def records(request: object) -> Plain:
    """Condylar inclination and Bennett angle that check records tell."""
    told = take(
        request,
        field="",
        keys={
            "intercondylar_mm": REQUIRED,
            "landmarks_mm": REQUIRED,
            "records": REQUIRED,
            "reading_sd_mm": GIVEN_SD_MM,
        },
    )
    found = settings_from_check_records(
        intercondylar_mm=told["intercondylar_mm"],
        landmarks_mm=take_list(told["landmarks_mm"], field="landmarks_mm"),
        records=told["records"],
        reading_sd_mm=told["reading_sd_mm"],
    )
    assumed = []
    if isinstance(request, dict) and "reading_sd_mm" not in request:
        assumed.append(f"reading_sd_mm is not given: {GIVEN_SD_MM} mm.")
    return {
        **asdict(found),
        "assumptions": [*assumed, *found.assumptions, *MODEL_LIMITS],
        "warnings": plain(found.warnings),
    }
