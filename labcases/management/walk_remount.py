"""The remount and the release of a case on its way."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from labcases.domain import device_statement, finishing, processing, remount_ledger
from labcases.domain import remount as remounting
from labcases.enums import Movement
from labcases.enums.remount import RemountAct
from labcases.models import Case, RemountEntry, User

D = Decimal
A = RemountAct


def log(case: Case, by: User, act: RemountAct, **values: Any) -> RemountEntry:
    return remounting.log(case=case, by=by, values={"act": act, **values})


def contacts(case: Case, by: User) -> None:
    """A pass in each movement, as the scheme wants."""
    for movement in Movement:
        log(case, by, A.PASS, movement=movement, as_wanted=True, foil_um=12)


def answer(case: Case, by: User) -> None:
    """Every line of the checklist is yes."""
    row = getattr(case, "remount_check", None)
    remounting.save_check(
        case=case,
        version=row.version if row else 0,
        by=by,
        values={"answers": {line.key: "yes" for line in remounting.lines()}, "words": {}},
    )


def remount(case: Case, by: User) -> None:
    """A rise of 0.4 mm that is corrected at one denture tooth."""
    if remount_ledger.of(case).rise_mm is None:
        own = case.prescription.arch == "upper"
        tooth = "16" if own else "46"
        log(case, by, A.PIN_READ, rise_mm=D("0.4"))
        log(case, by, A.PASS, movement=Movement.CENTRIC, teeth=[tooth], as_wanted=False)
        log(case, by, A.REDUCTION, teeth=[tooth], depth_mm=D("0.3"))
        log(case, by, A.PIN_READ, rise_mm=D("0"))
    contacts(case, by)
    answer(case, by)


RELEASE: dict[str, Any] = {
    "agent": "hypochlorite 1 in 10",
    "label_minutes": 10,
    "actual_minutes": 10,
}


def finish(case: Case, by: User) -> None:
    """The mark is in, and the template seats."""
    row = getattr(case, "finishing", None)
    finishing.save(
        case=case,
        version=row.version if row else 0,
        by=by,
        values={"mark_placed": True, "template_made": True, "template_seats": True},
    )


def release(case: Case, by: User, second: User) -> None:
    """Disinfection, and a second person who looks."""
    if getattr(case, "finishing", None) is None:
        finish(case, by)
    row = getattr(case, "release", None)
    saved = processing.save_release(
        case=case, version=row.version if row else 0, by=by, values=RELEASE
    )
    case.refresh_from_db()
    processing.look_again(case=Case.objects.get(pk=case.pk), version=saved.version, by=second)


def statement(case: Case, by: User) -> None:
    """The statement that goes with the denture, where a chosen place asks for one."""
    if device_statement.asking(case) and device_statement.standing(case) is None:
        device_statement.draw_up(
            case=case,
            by=by,
            values={"origin": "made in this laboratory", "certificates": "with the materials"},
        )
