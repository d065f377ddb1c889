"""Settings from points of the lower cast, closed and in each record."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from labcases.domain.calculations._proposals import (
    NONE_READ,
    READING_SD_MM,
    SIDES,
    NotRead,
    ProposedValue,
    RecordProposal,
    estimates,
    valued,
)
from labcases.enums import CheckRecordKind
from labcases.models import ArticulatorRecord, CheckRecord
from occlusion import frames
from occlusion.errors import OcclusionError
from occlusion.ranges import EngineWarning
from occlusion.records.check_records import CheckRecords, settings_from_check_records
from occlusion.sources import cite

# Kind of a record -> what the engine calls it.
MOVEMENTS = {
    CheckRecordKind.PROTRUSIVE: "protrusive",
    CheckRecordKind.RIGHT: "right",
    CheckRecordKind.LEFT: "left",
}


def from_points(
    closed: CheckRecord, moved: list[CheckRecord], stored: ArticulatorRecord
) -> RecordProposal:
    if not moved:
        return RecordProposal(
            "points",
            refusal="Enter the same points in a protrusive, a right or a left record; the closed "
            "casts alone say nothing.",
        )
    try:
        read, not_read = _read_what_can_be(closed, moved, stored)
    except OcclusionError as refusal:
        return RecordProposal("points", refusal=str(refusal))
    if read is None:
        return RecordProposal("points", refusal=NONE_READ, not_read=not_read)
    tilt = float(stored.plane_tilt_deg)
    values = [
        value
        for side in SIDES
        for value in _angles(
            side,
            inclination=read.condylar_inclination_deg[side],
            inclination_sd=read.sd_deg["condylar_inclination_deg"][side],
            bennett=read.bennett_deg[side],
            bennett_sd=read.sd_deg["bennett_deg"][side],
            tilt_deg=tilt,
        )
    ]
    values.sort(key=lambda value: not value.field.startswith("condylar"))
    for side in SIDES:
        shift, sd = read.immediate_side_shift_mm[side], read.side_shift_sd_mm[side]
        if shift is not None and sd is not None:
            values.append(valued(f"side_shift_{side}_mm", "immediate_side_shift_mm", shift, sd))
    return RecordProposal(
        "points",
        values=tuple(values),
        estimates_deg=estimates(values),
        travel_mm={kind: mm for kind, mm in read.travel_mm.items() if mm is not None},
        warnings=(*read.warnings, *_shifted_twice(values, stored)),
        assumptions=(*read.assumptions, *_against(stored)),
        not_read=not_read,
    )


def _read_what_can_be(
    closed: CheckRecord, moved: list[CheckRecord], stored: ArticulatorRecord
) -> tuple[CheckRecords | None, tuple[NotRead, ...]]:
    """What the records say together, without those that cannot be read.

    Raises
    ------
    OcclusionError
        What is wrong is no moved record: the points with the casts closed, or the width.
    """
    kept, not_read = [], []
    for row in moved:
        try:
            _read(closed, [row], stored)
        except OcclusionError as refusal:
            if not _of_a_record(refusal):
                raise
            not_read.append(NotRead(row, str(refusal)))
        else:
            kept.append(row)
    while kept:
        try:
            return _read(closed, kept, stored), tuple(not_read)
        except OcclusionError as refusal:
            # Each can be read, and these of one kind not together: the newest of them counts.
            several = [row for row in kept if refusal.field == f"records.{_movement(row)}"]
            if not several:
                raise
            for row in several[:-1] or several:
                kept.remove(row)
                not_read.append(NotRead(row, str(refusal)))
    return None, tuple(not_read)


def _of_a_record(refusal: OcclusionError) -> bool:
    return (refusal.field or "").startswith("records.")


def _movement(row: CheckRecord) -> str:
    return MOVEMENTS[CheckRecordKind(row.kind)]


def _read(closed: CheckRecord, moved: list[CheckRecord], stored: ArticulatorRecord) -> CheckRecords:
    names = list(closed.points)
    records: dict[str, list[Any]] = {}
    for row in moved:
        records.setdefault(_movement(row), []).append([row.points[name] for name in names])
    return settings_from_check_records(
        intercondylar_mm=float(stored.intercondylar_mm),
        landmarks_mm=[closed.points[name] for name in names],
        records=records,
        reading_sd_mm=READING_SD_MM,
    )


def _angles(
    side: str,
    *,
    inclination: float | None,
    inclination_sd: float | None,
    bennett: float | None,
    bennett_sd: float | None,
    tilt_deg: float,
) -> Iterator[ProposedValue]:
    """Both angles of a condyle, from the axis plane into the plane of the articulator record."""
    if inclination is None or inclination_sd is None:
        return
    in_plane = frames.turn_sagittal_deg(inclination, tilt_deg=-tilt_deg)
    yield valued(f"condylar_{side}_deg", "condylar_inclination_deg", in_plane, inclination_sd)
    if bennett is None or bennett_sd is None:
        return
    turned, more = (
        frames.turn_lateral_deg(angle, sagittal_deg=inclination, tilt_deg=-tilt_deg)
        for angle in (bennett, bennett + bennett_sd)
    )
    yield valued(f"bennett_{side}_deg", "bennett_deg", turned, more - turned)


def _shifted_twice(
    values: list[ProposedValue], stored: ArticulatorRecord
) -> Iterator[EngineWarning]:
    """Bennett angles that hold a side shift which the articulator record has a second time."""
    told = {value.field for value in values}
    for side in SIDES:
        shift = getattr(stored, f"side_shift_{side}_mm")
        read = f"bennett_{side}_deg" in told and f"side_shift_{side}_mm" not in told
        if shift and read:
            yield EngineWarning(
                f"side_shift_{side}_twice",
                f"The {side} Bennett angle is read as if there were no immediate side shift, but "
                f"the articulator record has {shift.normalize():f} mm of it. Set the shift to 0 "
                "with this angle, or take a second record of another travel.",
                cite("geometry"),
            )


def _against(stored: ArticulatorRecord) -> list[str]:
    """What the record adds to the reading: its plane, and a width that nobody measured yet."""
    said = []
    if stored.plane_tilt_deg:
        said.append(
            f"Carried over to the plane of the articulator record, which is tilted by "
            f"{stored.plane_tilt_deg.normalize():f} deg to the axis plane."
        )
    if stored.pk is None:
        said.append(
            f"No articulator record yet: the condyles are taken {stored.intercondylar_mm:f} mm "
            "apart."
        )
    return said
