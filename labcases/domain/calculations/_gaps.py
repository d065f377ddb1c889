"""Condylar inclination from gaps that protrusive records open behind."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from labcases import notation
from labcases.domain.calculations import inputs
from labcases.domain.calculations._proposals import (
    APART,
    NONE_READ,
    READING_SD_MM,
    SIDES,
    NotRead,
    RecordProposal,
    estimates,
    valued,
)
from labcases.domain.calculations.settings import engine_settings
from labcases.models import ArticulatorRecord, Case, CheckRecord, SiteMeasure
from occlusion import teeth
from occlusion.articulator import ArticulatorSettings
from occlusion.errors import OcclusionError
from occlusion.ranges import EngineWarning
from occlusion.records.posterior_gap import (
    InclinationFromGap,
    PosteriorGap,
    inclination_from_posterior_gap,
)
from occlusion.sources import cite


def from_gaps(
    case: Case, rows: list[CheckRecord], stored: ArticulatorRecord | None
) -> RecordProposal:
    if stored is None:
        return RecordProposal(
            "gap",
            refusal="Enter the articulator record first: what a gap says depends on its incisal "
            "table and on where the incisal point stands.",
        )
    arch: Any = case.prescription.arch
    measured = {row.tooth: row for row in case.sites.all()}
    incisal = (float(stored.incisal_x_mm), 0.0, float(stored.incisal_z_mm))
    try:
        settings = engine_settings(inputs.articulator(stored))
        layout = teeth.arch_landmarks(arch=arch, incisal_point_mm=incisal)
    except OcclusionError as refusal:
        return RecordProposal("gap", refusal=str(refusal))

    def place(tooth: str) -> tuple[float, float, float]:
        return _place(tooth, measured.get(tooth), layout[tooth], incisal)

    read, used, not_read = [], [], []
    for row in rows:
        try:
            read.append(_read(row, settings, place))
        except OcclusionError as refusal:
            not_read.append(NotRead(row, str(refusal)))
        else:
            used.append(row)
    if not read:
        return RecordProposal("gap", refusal=NONE_READ, not_read=tuple(not_read))
    by_side = {
        side: [(one.condylar_inclination_deg[side], one.sd_deg[side]) for one in read]
        for side in SIDES
    }
    values = [
        valued(f"condylar_{side}_deg", "condylar_inclination_deg", *_mean(told))
        for side, told in by_side.items()
    ]
    by_layout = sorted(
        tooth
        for tooth in {tooth for row in used for tooth in (row.right_tooth, row.left_tooth)}
        if _where(measured.get(tooth)) is None
    )
    return RecordProposal(
        "gap",
        values=tuple(values),
        estimates_deg=estimates(values),
        travel_mm={"incisors": max(float(row.advance_mm or 0) for row in used)},
        warnings=(
            *(warning for one in read for warning in one.warnings),
            *(found for side, told in by_side.items() if (found := _apart(side, told))),
        ),
        assumptions=(*read[-1].assumptions, *_placed(by_layout), *_several(used)),
        not_read=tuple(not_read),
    )


def _read(
    row: CheckRecord,
    settings: ArticulatorSettings,
    place: Callable[[str], tuple[float, float, float]],
) -> InclinationFromGap:
    """What one record says of both condyles."""
    return inclination_from_posterior_gap(
        settings=settings,
        advance_mm=float(row.advance_mm or 0),
        gaps=[
            PosteriorGap(
                point_mm=place(tooth),
                gap_mm=float(gap or 0),
                facet_deg=float(row.facet_deg),
            )
            for tooth, gap in (
                (row.right_tooth, row.right_gap_mm),
                (row.left_tooth, row.left_gap_mm),
            )
        ],
        reading_sd_mm=READING_SD_MM,
        advance_at="incisor",
    )


def _where(measured: SiteMeasure | None) -> tuple[float, float] | None:
    """How far behind the incisal point and out from the midline callipers read a tooth."""
    if measured is None:
        return None
    behind, out = measured.behind_incisal_mm, measured.from_midline_mm
    return None if behind is None or out is None else (float(behind), float(out))


def _place(
    tooth: str,
    measured: SiteMeasure | None,
    textbook_mm: tuple[float, float, float],
    incisal_mm: tuple[float, float, float],
) -> tuple[float, float, float]:
    """Where a tooth stands: as callipers read it, else by the book."""
    where = _where(measured)
    if where is None:
        return textbook_mm
    behind, out = where
    x, _y, z = incisal_mm
    return (x - behind, out if notation.side_of(tooth) == "left" else -out, z)


def _mean(told: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Mean of several records, each by how sure it is, and how sure the mean is."""
    weights = [1.0 / sd**2 for _value, sd in told]
    total = sum(weights)
    mean = sum(weight * value for weight, (value, _sd) in zip(weights, told, strict=True)) / total
    return mean, math.sqrt(1.0 / total)


def _apart(side: str, told: Sequence[tuple[float, float]]) -> EngineWarning | None:
    """Records of one kind that say more different things than reading errors explain."""
    (low, low_sd), (high, high_sd) = min(told), max(told)
    explained = APART * math.hypot(low_sd, high_sd)
    if high - low <= explained:
        return None
    return EngineWarning(
        f"gap_records_disagree_{side}",
        f"The gap records give the {side} condyle {low:.1f} and {high:.1f} deg; reading errors "
        f"explain about {explained:.1f} deg. Read them again, and strike out the wrong one.",
        cite("practice"),
    )


def _placed(by_layout: Sequence[str]) -> list[str]:
    if not by_layout:
        return []
    return [f"Where textbook crown widths put them, not measured: {', '.join(by_layout)}."]


def _several(rows: Sequence[CheckRecord]) -> list[str]:
    if len(rows) == 1:
        return []
    return [f"The mean of {len(rows)} gap records, each by how sure it is."]
