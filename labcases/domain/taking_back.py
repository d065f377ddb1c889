"""Unsaying what was said of work that is done again: things, each taken back in its own way.

A revision, a new jaw record and an incident all name things (``enums.incidents.Thing``); what
is taken back stands in the history with the reason, and lines of logs stay readable.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from labcases.domain import (
    bench,
    casts,
    device_statement,
    history,
    ledger,
    mounting,
    records,
    remount,
    remount_ledger,
    tooth_orders,
    versions,
)
from labcases.enums import CastState, ReturnTo, SetUpAct, Thing
from labcases.models import (
    Case,
    FinalWax,
    Finishing,
    Mounting,
    Release,
    RemountCheck,
    TeethSupply,
    User,
)
from labcases.models.tooth_orders import STANDING

VERIFICATION: dict[str, Any] = {
    "verified_by_method": "",
    "foil_pairs": "",
    "foil_points": None,
    "agreement_mm": None,
    "split_cast_closes": False,
}
# The next mounting starts without what belonged to this one.
EMPTY_MOUNTING: dict[str, Any] = {
    "transfer": "",
    "reference_plane": "",
    "record_medium": "",
    "pin_zero_mm": None,
}
EMPTY_RECORD: dict[str, Any] = {"record": None}

_NO_APPROVAL: dict[str, Any] = {
    "approved_at": None,
    "approved_by": None,
    "paper": None,
    "approved_digest": "",
    "trimming_approved": False,
    "approved_photographs": [],
    "approved_trims": [],
}
_NO_RELEASE: dict[str, Any] = {
    "pin_rise_mm": None,
    "pin_after_mm": None,
    "agent": "",
    "label_minutes": None,
    "actual_minutes": None,
    "second_look_by": None,
    "second_look_at": None,
}
_NOT_FINISHED: dict[str, Any] = {
    "mark_placed": None,
    "mark_digest": "",
    "template_made": None,
    "template_seats": None,
}
_NO_ANSWERS: dict[str, Any] = {"answers": {}, "words": {}, "done_by": None, "done_at": None}
# Lots stay for a repair: the resin is still in the denture.

_LINES: dict[Thing, tuple[SetUpAct, ...]] = {
    Thing.CASTS: (SetUpAct.TRIMMED,),
    Thing.PARTS: (SetUpAct.PART_DONE,),
    Thing.PASSES: (SetUpAct.PASS, SetUpAct.CUSP_HELD),
    Thing.PIN: (SetUpAct.PIN_OPENED, SetUpAct.PIN_READING),
}


def take_back(*, case: Case, things: Iterable[Thing], by: User, why: str) -> None:
    """Unsay these things where there is anything to unsay.

    Call it inside the transaction of the change itself, on a case that is locked.
    """
    wanted = frozenset(things)
    if wanted & {Thing.MOUNTING, Thing.RECORD, Thing.CASTS}:
        more: dict[str, Any] | None = None
        asked = ""
        if Thing.MOUNTING in wanted:
            more, asked = dict(EMPTY_MOUNTING), str(ReturnTo.NEW_MOUNTING)
        if Thing.RECORD in wanted:
            more, asked = EMPTY_MOUNTING | EMPTY_RECORD, str(ReturnTo.NEW_RECORD)
        _mounting(
            case,
            by,
            why,
            verification=bool(wanted & {Thing.MOUNTING, Thing.RECORD}),
            inspected=Thing.CASTS in wanted,
            more=more,
            asked=asked,
        )
    for thing, do in _OTHERS.items():
        if thing in wanted:
            do(case, by, why)
    acts = {act for thing, found in _LINES.items() if thing in wanted for act in found}
    for entry in case.setup_entries.filter(act__in=acts, struck_at__isnull=True):
        bench.strike(entry=entry, reason=why, by=by)


def take_back_verification(
    *,
    case: Case,
    by: User,
    why: str,
    casts_too: bool,
    more: Mapping[str, Any] | None = None,
    asked: str = "",
) -> None:
    """Unsay that the mounting is verified; with ``more`` what else of it is unsaid."""
    _mounting(case, by, why, verification=True, inspected=casts_too, more=more, asked=asked)


def _mounting(
    case: Case,
    by: User,
    why: str,
    *,
    verification: bool,
    inspected: bool,
    more: Mapping[str, Any] | None,
    asked: str,
) -> None:
    """The mounting as it stood is kept as a past one where it was verified, or is made anew."""
    row = Mounting.objects.select_for_update().filter(case=case).first()
    if row is None:
        return
    undone: dict[str, Any] = {}
    if verification:
        undone |= {**VERIFICATION, **(more or {})}
        if (row.verified_by_method or more) and mounting.has_anything(row):
            mounting.keep_as_past(row=row, by=by, reason=why, asked=asked)
            undone["number"] = row.number + 1
    if inspected:
        undone["casts_inspected"] = False
    _save(row, case, by, why, "mounting", undone)


def _casts(case: Case, by: User, why: str) -> None:
    """Casts that were found sound are looked at again; a broken one stays broken."""
    sound = case.cast_looks.filter(struck_at__isnull=True).exclude(state=CastState.BROKEN)
    for look in sound.select_related("cast"):
        casts.strike(row=look, reason=why, by=by)


def _check_records(case: Case, by: User, why: str) -> None:
    """They were read on casts that are mounted anew now."""
    for record in case.check_records.filter(struck_at__isnull=True):
        records.strike(row=record, reason=why, by=by)


def _teeth(case: Case, by: User, why: str) -> None:
    """What was taken or ordered waits for a word."""
    tooth_orders.set_aside(case=case, by=by, why=why)


def _checks(case: Case, by: User, why: str) -> None:
    if case.check_runs.filter(taken_back="").update(taken_back=why[:200]):
        history.write(case=case, by=by, act="taken back", part="checks", reason=why)


def _try_in(case: Case, by: User, why: str) -> None:
    row = case.try_ins.select_for_update().last()
    if row and row.outcome and not row.taken_back:
        _save(row, case, by, why, "try-in", {"taken_back": why[:200]})


def _wax(case: Case, by: User, why: str) -> None:
    row = FinalWax.objects.select_for_update().filter(case=case).first()
    if row:
        _save(row, case, by, why, "final wax", _NO_APPROVAL)


def _duplicate(case: Case, by: User, why: str) -> None:
    row = FinalWax.objects.select_for_update().filter(case=case).first()
    if row:
        _save(row, case, by, why, "final wax", {"duplicate_made": False})


def _release(case: Case, by: User, why: str) -> None:
    row = Release.objects.select_for_update().filter(case=case).first()
    if row:
        _save(row, case, by, why, "release", _NO_RELEASE)
    for line in case.remount_entries.filter(struck_at__isnull=True):
        remount.strike(row=line, reason=why, by=by)
    statement = device_statement.standing(case)
    if statement is not None:
        device_statement.strike(row=statement, reason=why, by=by)
    done = Finishing.objects.select_for_update().filter(case=case).first()
    if done:
        _save(done, case, by, why, "finishing", _NOT_FINISHED)
    check = RemountCheck.objects.select_for_update().filter(case=case).first()
    if check:
        _save(check, case, by, why, remount.CHECK_PART, _NO_ANSWERS)


def _save(row: Any, case: Case, by: User, why: str, part: str, values: Mapping[str, Any]) -> None:
    versions.save_row(
        row=row,
        version=row.version,
        by=by,
        case=case,
        part=part,
        act="taken back",
        reason=why,
        values=values,
    )


_OTHERS: dict[Thing, Callable[[Case, User, str], None]] = {
    Thing.CASTS: _casts,
    Thing.CHECK_RECORDS: _check_records,
    Thing.TEETH: _teeth,
    Thing.CHECKS: _checks,
    Thing.TRY_IN: _try_in,
    Thing.WAX: _wax,
    Thing.DUPLICATE: _duplicate,
    Thing.RELEASE: _release,
}


# -- what there is to take back ----------------------------------------------------------------


def there_is(case: Case, things: Iterable[Thing]) -> list[Thing]:
    """Of these things the ones of which something stands, in the order of the table."""
    wanted = frozenset(things)
    return [thing for thing in Thing if thing in wanted and _STANDS[thing](case)]


def _has_line(*acts: SetUpAct) -> Callable[[Case], bool]:
    return lambda case: any(entry.act in acts for entry in ledger.standing(case))


def _mounted(case: Case) -> bool:
    row: Mounting | None = getattr(case, "mounting", None)
    return row is not None and mounting.has_anything(row)


def _record_stands(case: Case) -> bool:
    row: Mounting | None = getattr(case, "mounting", None)
    return row is not None and (row.record_id is not None or mounting.has_anything(row))


def _inspected(case: Case) -> bool:
    looked = case.cast_looks.filter(struck_at__isnull=True).exclude(state=CastState.BROKEN)
    row: Mounting | None = getattr(case, "mounting", None)
    trimmed = _has_line(*_LINES[Thing.CASTS])(case)
    return looked.exists() or bool(row and row.casts_inspected) or trimmed


def _judged(case: Case) -> bool:
    row = case.try_ins.last()
    return bool(row and row.outcome and not row.taken_back)


def _read(case: Case) -> bool:
    check: RemountCheck | None = getattr(case, "remount_check", None)
    if getattr(case, "finishing", None) is not None and any(
        getattr(case.finishing, name) != empty for name, empty in _NOT_FINISHED.items()
    ):
        return True
    if device_statement.standing(case) is not None:
        return True
    if remount_ledger.standing(case) or (check is not None and check.answers):
        return True
    row = getattr(case, "release", None)
    return bool(row and any(getattr(row, name) != empty for name, empty in _NO_RELEASE.items()))


def _wax_says(field: str) -> Callable[[Case], bool]:
    return lambda case: bool(getattr(getattr(case, "final_wax", None), field, None))


_STANDS: dict[Thing, Callable[[Case], bool]] = {
    Thing.CASTS: _inspected,
    Thing.MOUNTING: _mounted,
    Thing.RECORD: _record_stands,
    Thing.CHECK_RECORDS: lambda case: case.check_records.filter(struck_at__isnull=True).exists(),
    Thing.PIN: _has_line(*_LINES[Thing.PIN]),
    Thing.PASSES: _has_line(*_LINES[Thing.PASSES]),
    Thing.PARTS: _has_line(*_LINES[Thing.PARTS]),
    Thing.TEETH: lambda case: TeethSupply.objects.filter(case=case, state__in=STANDING).exists(),
    Thing.CHECKS: lambda case: case.check_runs.filter(taken_back="").exists(),
    Thing.TRY_IN: _judged,
    Thing.WAX: _wax_says("approved_at"),
    Thing.DUPLICATE: _wax_says("duplicate_made"),
    Thing.RELEASE: _read,
}
