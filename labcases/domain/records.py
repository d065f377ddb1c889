"""Check records: reading them in, striking them out, and adopting what they say."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal
from typing import Any

from labcases.domain import calculations, history, striking, versions
from labcases.domain.calculations import ProposedValue
from labcases.enums import CheckRecordKind, SettingsOrigin
from labcases.models import ArticulatorRecord, Case, CheckRecord, User
from labcases.models.articulator import DEVIATIONS

_STEPS = {"_deg": Decimal("0.1"), "_mm": Decimal("0.01")}

ADOPTABLE = (*DEVIATIONS, "side_shift_right_mm", "side_shift_left_mm")
"""Settings that records may tell; the shift only two lateral records of unlike travel."""

MOVED = (CheckRecordKind.PROTRUSIVE, CheckRecordKind.RIGHT, CheckRecordKind.LEFT)
CLOSED_FIRST = "Enter the points with the casts closed first; a record is read against them."
INSTEAD_OF_PRESCRIBED = "in place of settings that the dentist prescribed"


class NotAdopted(Exception):
    """Nothing was adopted; the text says why and what to do."""


def add(*, case: Case, by: User, values: Mapping[str, Any]) -> CheckRecord:
    """Keep one reading. Moved points join the points that were read last with the casts closed.

    Raises
    ------
    ValueError
        Moved points without any points that they moved from.
    """
    with history.turn(case):
        closed = calculations.points_closed(case) if values["kind"] in MOVED else None
        if values["kind"] in MOVED and closed is None:
            raise ValueError(CLOSED_FIRST)
        record = CheckRecord.objects.create(case=case, by=by, closed=closed, **values)
        history.write(
            case=case,
            by=by,
            act="entered",
            part="check records",
            changes={"record": [None, in_words(record)]},
            row=history.made(record),
        )
    return record


def strike(*, row: CheckRecord, reason: str, by: User) -> CheckRecord:
    """Strike a record out, with a reason; it stays readable and counts no longer."""
    return striking.strike_out(
        row=row, part="check records", line=in_words(row), reason=reason, by=by
    )


def in_words(record: CheckRecord) -> str:
    """What a record says, in a line; teeth by their ISO 3950 number."""
    if record.kind == CheckRecordKind.GAP:
        said = (
            f"advance {_short(record.advance_mm)} mm, gap {_short(record.right_gap_mm)} mm at "
            f"{record.right_tooth} and {_short(record.left_gap_mm)} mm at {record.left_tooth}"
        )
    else:
        said = "; ".join(
            f"{name} {', '.join(f'{one:g}' for one in point)}"
            for name, point in record.points.items()
        )
    return f"{record.get_kind_display()}: {said}"


def _short(value: Decimal | None) -> str:
    return "" if value is None else f"{Decimal(value).normalize():f}"


def adopt(
    *, case: Case, version: int, digest: str, method: str, fields: Collection[str], by: User
) -> ArticulatorRecord:
    """Take proposed values into the articulator record, with their deviation.

    Parameters
    ----------
    case : Case
        Whose articulator record takes the values.
    version : int
        Version of the articulator record that the person had on the page.
    digest : str
        Names the proposal that the person had on the page.
    method : str
        Which proposal: of the points, or of the gaps.
    fields : collection of str
        Settings that the person ticked.
    by : User
        Who adopts.

    Raises
    ------
    NotAdopted
        There is no record yet, nothing was ticked, or the proposal is no longer the same.
    labcases.domain.versions.EditConflict
        Somebody changed the settings meanwhile.
    """
    record: ArticulatorRecord | None = getattr(case, "articulator", None)
    if record is None:
        raise NotAdopted("There is no articulator record yet. Enter it first, then adopt.")
    found = calculations.record_proposals(case).get(method)
    if found is None or found.digest != digest:
        raise NotAdopted(
            "The records or the settings changed while you read them. Read the proposal again."
        )
    taken = [value for value in found.values if value.field in fields and value.can_be_adopted]
    if not taken:
        raise NotAdopted("Tick the values that the articulator record is to take.")
    values: dict[str, Any] = {"origin": SettingsOrigin.RECORDS}
    for value in taken:
        values[value.field] = rounded(value)
        if value.field in DEVIATIONS:
            values[DEVIATIONS[value.field]] = deviation(value)
    prescribed = record.origin == SettingsOrigin.PRESCRIBED
    return versions.save_row(
        row=record,
        version=version,
        by=by,
        case=case,
        part="articulator record",
        act="adopted",
        reason=INSTEAD_OF_PRESCRIBED if prescribed else "",
        values=values,
    )


def rounded(value: ProposedValue) -> Decimal:
    """A proposed value to the step that its column keeps."""
    return Decimal(str(value.value)).quantize(_step(value.field), rounding=ROUND_HALF_EVEN)


def deviation(value: ProposedValue) -> Decimal:
    """Its standard deviation, which never looks smaller than it is."""
    return Decimal(str(value.sd)).quantize(_step(value.field), rounding=ROUND_CEILING)


def _step(field: str) -> Decimal:
    return next(step for ending, step in _STEPS.items() if field.endswith(ending))
