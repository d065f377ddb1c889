"""Jaw records: entering them, striking them out, and what to mind of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from labcases.domain import history, striking
from labcases.domain.cautions import PRACTICE, Caution
from labcases.enums import JawRecord, RecordKind
from labcases.models import Case, TakenRecord, User
from labcases.templatetags.units import long_time, mm

PART = "jaw records"
CLOSED = (RecordKind.MAXIMUM_INTERCUSPATION, RecordKind.CENTRIC_RELATION)
"""Kinds that casts are mounted by; the others set the condylar paths."""


def add(*, case: Case, by: User, values: Mapping[str, Any]) -> TakenRecord:
    with history.turn(case):
        row = TakenRecord.objects.create(case=case, by=by, **values)
        history.write_line(row=row, part=PART, line=in_words(row), by=by)
    return row


def strike(*, row: TakenRecord, reason: str, by: User) -> TakenRecord:
    """Strike a record out, with a reason; it stays readable and counts no longer."""
    return striking.strike_out(row=row, part=PART, line=in_words(row), reason=reason, by=by)


def in_words(row: TakenRecord) -> str:
    """What a record says, for its row on the page and for the history."""
    told = (
        f"{row.get_kind_display()} record",
        row.material,
        f"taken {long_time(row.taken_at)} by {row.taken_by}",
        f"at a vertical of {mm(row.vertical_mm)}" if row.vertical_mm is not None else "",
        row.note,
    )
    return ", ".join(part for part in told if part)


def standing(case: Case) -> list[TakenRecord]:
    """Records that are not struck out, the oldest first."""
    return list(case.taken_records.filter(struck_at__isnull=True))


def cautions(case: Case) -> list[Caution]:
    """What a reader should weigh before casts are mounted by these records; nothing blocks."""
    closed = [row for row in standing(case) if row.kind in CLOSED]
    wanted = case.prescription.jaw_record
    found = []
    if closed and wanted and all(row.kind != wanted for row in closed):
        found.append(
            Caution(
                "record-not-as-prescribed",
                f"The prescription asks for {JawRecord(wanted).label.lower()}; no record of it is "
                "entered. Ask the dentist which one mounts the casts.",
                PRACTICE,
            )
        )
    for kind in CLOSED:
        heights = {row.vertical_mm for row in closed if row.kind == kind and row.vertical_mm}
        if len(heights) > 1:
            told = " and ".join(mm(height) for height in sorted(heights))
            found.append(
                Caution(
                    "records-at-unlike-verticals",
                    f"Records of {kind.label.lower()} were taken at verticals of {told}. Strike "
                    "out the one that does not count, or ask the dentist.",
                    PRACTICE,
                )
            )
    return found
