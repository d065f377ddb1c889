"""Saving what the bench writes: mounting, settings, teeth, sites, log."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from labcases.domain import calculations, history, opponent, over_eruption, teeth, versions
from labcases.domain.striking import strike_out
from labcases.enums import OpposingTooth, SettingsOrigin, SetUpAct
from labcases.models import (
    ArticulatorRecord,
    Case,
    Mounting,
    SetUpEntry,
    SiteMeasure,
    ToothSelection,
    User,
)
from labcases.models.articulator import DEVIATIONS


class NotADentureTooth(Exception):
    """The log was asked to change a tooth that is natural or not there."""


class NothingToTakeOver(Exception):
    """The prescription offers nothing for this tooth, or something better is there."""


# Acts that take something off a tooth; only a denture tooth may be the object of one.
CHANGES_A_TOOTH = (SetUpAct.HOLLOW_GROUND, SetUpAct.REDUCTION)


def save_mounting(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> Mounting:
    row = getattr(case, "mounting", None) or Mounting(case=case)
    return versions.save_row(
        row=row, version=version, by=by, case=case, part="mounting", values=values
    )


def save_articulator(
    *, case: Case, version: int, by: User, values: Mapping[str, Any]
) -> ArticulatorRecord:
    """Keep what a person entered. A value given by hand has no deviation of check records."""
    row = getattr(case, "articulator", None) or ArticulatorRecord(case=case)
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=case,
        part="articulator record",
        values={**values, **dict.fromkeys(_deviations_gone(_as_stored(row), values))},
    )


def nothing_adopted_left(row: ArticulatorRecord, values: Mapping[str, Any]) -> bool:
    """Whether these values take away the last one that check records gave, and do not say so.

    Parameters
    ----------
    row : ArticulatorRecord
        The record, stored or new; what was typed into it meanwhile does not count.
    values : mapping of str to object
        What is about to be saved.
    """
    stored = _as_stored(row)
    origin = values.get("origin", stored.origin)
    told = {one for one in DEVIATIONS.values() if getattr(stored, one) is not None}
    return (
        origin == SettingsOrigin.RECORDS and bool(told) and told == _deviations_gone(stored, values)
    )


def _as_stored(row: ArticulatorRecord) -> ArticulatorRecord:
    """The record as it stands: a form writes what was typed into the row that it was given."""
    return row if row.pk is None else ArticulatorRecord.objects.get(pk=row.pk)


# The deviations are of angles against this plane, from these records.
_DEVIATIONS_STAND_ON = ("origin", "reference_plane", "plane_tilt_deg")


def _deviations_gone(stored: ArticulatorRecord, values: Mapping[str, Any]) -> set[str]:
    """Deviations that no longer belong to what stands beside them."""

    def other(field: str) -> bool:
        return field in values and values[field] != getattr(stored, field)

    every = any(other(field) for field in _DEVIATIONS_STAND_ON)
    return {
        deviation
        for field, deviation in DEVIATIONS.items()
        if getattr(stored, deviation) is not None and (every or other(field))
    }


def approve_setting(
    *, record: ArticulatorRecord, field: str, value: Decimal, why: str, by: User
) -> ArticulatorRecord:
    """Keep a setting that the dentist approved. Other values keep their deviations.

    Call it inside the transaction of the answer.
    """
    gone = {DEVIATIONS[field]: None} if field in DEVIATIONS else {}
    return versions.save_row(
        row=record,
        version=record.version,
        by=by,
        case=record.case,
        part="articulator record",
        act="approved",
        reason=why,
        values={field: value, "origin": SettingsOrigin.APPROVED, **gone},
    )


def acknowledge_settings(*, case: Case, version: int, by: User) -> ArticulatorRecord:
    """Say that the unusual settings were read. A later change asks again."""
    record = case.articulator
    return versions.save_row(
        row=record,
        version=version,
        by=by,
        case=case,
        part="articulator record",
        act="acknowledged",
        values={
            "acknowledged": calculations.settings_findings(record).digest,
            "acknowledged_by": by,
        },
    )


def save_selection(
    *, case: Case, version: int, by: User, values: Mapping[str, Any]
) -> ToothSelection:
    row = getattr(case, "selection", None) or ToothSelection(case=case)
    return versions.save_row(
        row=row, version=version, by=by, case=case, part="tooth selection", values=values
    )


def save_site(
    *,
    case: Case,
    tooth: str,
    version: int,
    by: User,
    values: Mapping[str, Any],
    reason: str = "",
) -> SiteMeasure:
    row = case.sites.filter(tooth=tooth).first() or SiteMeasure(case=case, tooth=tooth)
    named = {"tooth": tooth, **values} if row.pk is None else dict(values)
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=case,
        part=f"site {tooth}",
        reason=reason,
        values=named,
    )


def take_over_height(*, case: Case, tooth: str, by: User) -> SiteMeasure:
    """Keep a prescribed height beyond the plane as the tip height of a natural opposing tooth.

    Raises
    ------
    NothingToTakeOver
        The prescription says no height of this tooth, or callipers have read it.
    """
    row = case.prescription
    height_mm = over_eruption.heights(row).get(tooth)
    if height_mm is None or tooth not in teeth.opposing(row):
        raise NothingToTakeOver(
            "The prescription says no height of this tooth that callipers could read. Enter what "
            "they read."
        )
    site = case.sites.filter(tooth=tooth).first()
    if site is not None and site.tip_height_mm is not None:
        raise NothingToTakeOver(
            f"Callipers have read {tooth} already ({site.tip_height_mm.normalize():f} mm), and "
            "they go before the prescription. Change it in the table of callipers."
        )
    return save_site(
        case=case,
        tooth=tooth,
        version=site.version if site else 0,
        by=by,
        values={"tip_height_mm": over_eruption.as_tip_height(tooth, height_mm)},
        reason=f"offered by revision {row.revision} of the prescription, "
        f"{over_eruption.read_by(row)}",
    )


def log(*, case: Case, by: User, values: Mapping[str, Any]) -> SetUpEntry:
    """Add a line to the set-up log; a pass has a verb of its own (``passes.log_pass``).

    Raises
    ------
    ValueError
        The line is a pass.
    NotADentureTooth
        The line would say that a natural tooth was ground, or a worn opposing denture without
        the dentist's word.
    """
    if values["act"] == SetUpAct.PASS:
        raise ValueError("A pass is logged with its marks, by passes.log_pass.")
    if values["act"] in CHANGES_A_TOOTH:
        only_denture_teeth(case, values.get("teeth", ()))
    with history.turn(case):
        entry = SetUpEntry.objects.create(case=case, by=by, **values)
        history.write(
            case=case,
            by=by,
            act=entry.get_act_display().lower(),
            part="set-up log",
            changes={
                _label(entry, field): [None, history.shown(entry, field)]
                for field, value in values.items()
                if field != "act" and value not in ("", None, [])
            },
            row=history.made(entry),
        )
    return entry


def only_denture_teeth(case: Case, wanted: Iterable[str]) -> None:
    """Refuse that anything is taken off a tooth that is not a denture tooth of this case.

    Raises
    ------
    NotADentureTooth
        One is natural or not there, or of a worn denture without the dentist's word.
    """
    for tooth in wanted:
        if teeth.kind(case.prescription, tooth) != OpposingTooth.DENTURE:
            raise NotADentureTooth(
                f"{tooth} is no denture tooth, and nothing else is ground. Log it as a note "
                "and ask the dentist."
            )
        if refusal := opponent.keeps_off(case, tooth):
            raise NotADentureTooth(refusal)


# What a column of the log means depends on the act; the unit stays at the end.
_MEANS: dict[tuple[str, str], str] = {
    (SetUpAct.PIN_OPENED, "before_mm"): "from mm",
    (SetUpAct.PIN_OPENED, "after_mm"): "to mm",
    (SetUpAct.PIN_READING, "after_mm"): "at mm",
    (SetUpAct.BASE_REDUCED, "after_mm"): "base left mm",
    (SetUpAct.HOLLOW_GROUND, "after_mm"): "depth mm",
    (SetUpAct.HOLLOW_GROUND, "shell_left_mm"): "shell left mm",
    (SetUpAct.REDUCTION, "after_mm"): "off each mm",
    (SetUpAct.CUSP_HELD, "as_wanted"): "held",
    (SetUpAct.BASE_ADAPTED, "separable_base"): "comes off the cast",
    (SetUpAct.PART_DONE, "separable_base"): "base comes off the cast",
}


def _label(entry: SetUpEntry, field: str) -> str:
    return _MEANS.get((entry.act, field)) or history.label(entry, field)


def strike(*, entry: SetUpEntry, reason: str, by: User) -> SetUpEntry:
    """Strike a line out, with a reason; it stays readable."""
    return strike_out(
        row=entry, part="set-up log", line=entry.get_act_display(), reason=reason, by=by
    )
