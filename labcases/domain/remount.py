"""The remount after processing: lines that are logged and struck out, and its checklist.

The pin says how far, foil says which teeth, and neither does for the other.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from django.utils import timezone

from labcases.domain import (
    bench,
    bench_check,
    calculations,
    history,
    remount_ledger,
    teeth,
    versions,
)
from labcases.domain.ledger import READING_TOLERANCE_MM
from labcases.domain.striking import strike_out
from labcases.enums import Movement, OpposingTooth
from labcases.enums.remount import RemountAct
from labcases.models import Case, RemountCheck, RemountEntry, ReviewEntry, User
from labcases.reference.checklists import CheckLine, lines_of
from labcases.reference.remount import OTHER, causes, remount_checklist
from labcases.templatetags.units import mm, signed_mm

PART = "remount"
CHECK_PART = "remount checklist"


class NotLogged(Exception):
    """The line is not taken; the text says why and what to do."""


def log(*, case: Case, by: User, values: Mapping[str, Any]) -> RemountEntry:
    """Add a line to the remount.

    Parameters
    ----------
    case, by
        Whose denture, and who is at the bench.
    values : mapping
        ``act`` of ``RemountAct``, and the columns that belong to it.

    Raises
    ------
    NotLogged
        It does not follow on what stands: nothing is read yet, the cause is not recorded, the
        rise is too large to be accepted, or a tooth is not there.
    labcases.domain.bench.NotADentureTooth
        A natural tooth, or one of a worn denture, would be corrected.
    """
    with history.turn(case):
        row = RemountEntry(case=case, by=by, **values)
        _ASKED[RemountAct(row.act)](case, row)
        row.save(force_insert=True)
        history.write_line(row=row, part=PART, line=in_words(row), by=by)
    return row


def strike(*, row: RemountEntry, reason: str, by: User) -> RemountEntry:
    """Strike a line out, with a reason; it stays readable."""
    return strike_out(row=row, part=PART, line=in_words(row), reason=reason, by=by)


# --- what a line must say ----------------------------------------------------------------------


def _read(_case: Case, row: RemountEntry) -> None:
    if row.rise_mm is None:
        raise NotLogged("Enter how far the pin stands off the agreed value; 0 when it is back.")


def _read_on_index(case: Case, row: RemountEntry) -> None:
    _read(case, row)
    if row.hours_after is None:
        raise NotLogged("Enter how many hours after the remount it was read.")


def _caused(_case: Case, row: RemountEntry) -> None:
    if row.cause not in causes():
        raise NotLogged("Choose the cause that was found.")
    if row.cause == OTHER and not row.note.strip():
        raise NotLogged("Say in words what the cause was, or what was looked at.")


def _marked(case: Case, row: RemountEntry) -> None:
    if row.movement not in Movement.values:
        raise NotLogged("Choose the movement of the pass.")
    for tooth in row.teeth:
        if teeth.kind(case.prescription, tooth) == OpposingTooth.MISSING:
            raise NotLogged(f"No tooth stands at {tooth}. Name only teeth that are there.")


def _corrected(case: Case, row: RemountEntry) -> None:
    if len(row.teeth) != 1 or row.depth_mm is None:
        raise NotLogged("Name one denture tooth, and how much was taken off it.")
    bench.only_denture_teeth(case, row.teeth)
    told = remount_ledger.of(case)
    if told.rise_mm is None:
        raise NotLogged("Read the pin first and log it, then log what was corrected.")
    if told.lacks_cause:
        raise NotLogged(
            f"The pin rose by {mm(told.highest_mm)}. Record the cause before anything is corrected."
        )
    if not row.note.strip():
        _not_too_deep(case, row.teeth[0], row.depth_mm, told.rise_mm)


def _not_too_deep(case: Case, tooth: str, depth_mm: Decimal, rise_mm: Decimal) -> None:
    """Question a depth that the pin does not explain; a reason in the note lets it pass.

    Marks in the excursions are corrected at a pin that is back: up to the rise that may be
    accepted nothing is asked (common practice, no source).
    """
    by_tooth = calculations.if_alone_mm(case, rise_mm)
    most = by_tooth.get(tooth, max(by_tooth.values(), default=rise_mm))
    before = remount_ledger.off_since_read(case, tooth)
    if before + depth_mm <= max(most, calculations.GOOD_MM) + READING_TOLERANCE_MM:
        return
    already = f", with {mm(before)} taken off since the pin was read," if before else ""
    told = f"at most {mm(max(most, remount_ledger.NONE))} if {tooth} alone lifts it"
    raise NotLogged(
        f"{mm(depth_mm)} off {tooth}{already} is more than the pin explains: it stands "
        f"{off_words(rise_mm)}, {told}. Look at the depth, or read the pin again; if so much came "
        "off, say in the note why."
    )


def _accepted(case: Case, row: RemountEntry) -> None:
    told = remount_ledger.of(case)
    if told.rise_mm is None or told.ground_since:
        raise NotLogged("Read the pin and log it; then say whether that is accepted.")
    if abs(told.rise_mm) > calculations.GOOD_MM:
        raise NotLogged(
            f"{signed_mm(told.rise_mm)} is more than the {mm(calculations.GOOD_MM)} that may be "
            f"accepted. {told.next_step}"
        )
    row.rise_mm = told.rise_mm


_ASKED = {
    RemountAct.PIN_READ: _read,
    RemountAct.INDEX_READ: _read_on_index,
    RemountAct.CAUSE: _caused,
    RemountAct.PASS: _marked,
    RemountAct.REDUCTION: _corrected,
    RemountAct.ACCEPTED: _accepted,
}


# --- words -------------------------------------------------------------------------------------


def in_words(row: RemountEntry, number: Callable[[str], str] = str) -> str:
    """What a line says; ``number`` writes a tooth, in ISO 3950 where it is left out."""
    said = {
        RemountAct.PIN_READ: lambda: f"pin {off_words(row.rise_mm)}",
        RemountAct.INDEX_READ: lambda: (
            f"on the index after {row.hours_after} h: pin {off_words(row.rise_mm)}"
        ),
        RemountAct.CAUSE: lambda: f"cause: {cause_words(row)}",
        RemountAct.PASS: lambda: _pass_words(row, number),
        RemountAct.REDUCTION: lambda: (
            f"{' '.join(number(tooth) for tooth in row.teeth)}, {mm(row.depth_mm)} off"
        ),
        RemountAct.ACCEPTED: lambda: f"accepted: pin {off_words(row.rise_mm)}",
    }[RemountAct(row.act)]()
    note = "" if row.act == RemountAct.CAUSE and row.cause == OTHER else row.note
    return ". ".join(one for one in (said, note) if one)


def off_words(rise_mm: Decimal | None) -> str:
    """How the pin stands to the agreed value."""
    if rise_mm is None:
        return "not read"
    if not rise_mm:
        return "at the agreed value"
    return f"{mm(abs(rise_mm))} {'above' if rise_mm > 0 else 'below'} the agreed value"


def cause_words(row: RemountEntry) -> str:
    """The recorded cause; another one in the words of the person."""
    if row.cause == OTHER and row.note:
        return row.note
    found = causes().get(row.cause)
    return found.words if found else row.cause


def _pass_words(row: RemountEntry, number: Callable[[str], str]) -> str:
    judged = {None: "not judged", True: "as wanted", False: "not as wanted"}[row.as_wanted]
    foil = f" with {row.foil_um} µm foil" if row.foil_um else ""
    return f"{row.get_movement_display().lower()}{foil}, {judged}: {marks_words(row, number)}"


def marks_words(row: RemountEntry | ReviewEntry, number: Callable[[str], str] = str) -> str:
    """The teeth that marked: "16 heavy (lingual), 26"."""
    return ", ".join(_mark(row, tooth, number) for tooth in row.teeth) or "no tooth marked"


def _mark(row: RemountEntry | ReviewEntry, tooth: str, number: Callable[[str], str]) -> str:
    told = row.marks.get(tooth, {})
    cusps = f"({told['cusps']})" if told.get("cusps") else ""
    return " ".join(one for one in (number(tooth), told.get("strength", ""), cusps) if one)


# --- checklist -----------------------------------------------------------------------------------


def save_check(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> RemountCheck:
    """Keep the answers; who saved them last has looked."""
    row = RemountCheck.objects.filter(case=case).first() or RemountCheck(case=case)
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=case,
        part=CHECK_PART,
        values={**values, "done_by": by, "done_at": timezone.now()},
    )


def lines() -> tuple[CheckLine, ...]:
    return lines_of(remount_checklist())


def silent(row: RemountCheck | None) -> list[CheckLine]:
    """Lines that nobody answered."""
    return bench_check.silent(row or RemountCheck(), lines())


def refused(row: RemountCheck | None) -> list[CheckLine]:
    """Lines that were answered with no."""
    return bench_check.refused(row or RemountCheck(), lines())
