"""Acts from the remount on that can be undone, for the table of ``undone.py``."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from labcases.domain import device_statement, finishing, remount
from labcases.domain.processing import save_release
from labcases.enums import Stage
from labcases.enums.remount import RemountAct
from labcases.management.walk import Walk

D = Decimal
Doing = Callable[[Walk], Any]
S = Stage


def pin_read(walk: Walk) -> Any:
    return remount.log(
        case=walk.reload(),
        by=walk.hands.technician,
        values={"act": RemountAct.PIN_READ, "rise_mm": D("0.4")},
    )


def drawn_up(walk: Walk) -> Any:
    type(walk.case.office).objects.filter(pk=walk.case.office_id).update(profile="eu")
    return device_statement.draw_up(case=walk.reload(), by=walk.hands.technician, values={})


def answers(**told: str) -> Doing:
    def do(walk: Walk) -> None:
        row = getattr(walk.reload(), "remount_check", None)
        remount.save_check(
            case=walk.case,
            version=row.version if row else 0,
            by=walk.hands.technician,
            values={"answers": told, "words": {}},
        )

    return do


def finish(**values: Any) -> Doing:
    def do(walk: Walk) -> None:
        row = getattr(walk.reload(), "finishing", None)
        finishing.save(
            case=walk.case,
            version=row.version if row else 0,
            by=walk.hands.technician,
            values=values,
        )

    return do


def release(**values: Any) -> Doing:
    def do(walk: Walk) -> None:
        row = getattr(walk.reload(), "release", None)
        save_release(
            case=walk.case,
            version=row.version if row else 0,
            by=walk.hands.technician,
            values=values,
        )

    return do


def nothing(_walk: Walk) -> None:
    """Nothing has to stand before."""


SAVED: dict[tuple[str, str], tuple[Stage, Doing, Doing]] = {
    ("remount checklist", "entered"): (S.REMOUNT, nothing, answers(rm_order="yes")),
    ("remount checklist", "changed"): (
        S.REMOUNT,
        answers(rm_order="no"),
        answers(rm_order="yes"),
    ),
    ("finishing", "entered"): (S.FINISHING, nothing, finish(template_made=True)),
    ("finishing", "changed"): (
        S.FINISHING,
        finish(template_made=True),
        finish(template_made=False, note="bubbles"),
    ),
    ("release", "entered"): (S.REMOUNT, nothing, release(lots="L-1")),
    ("release", "changed"): (S.REMOUNT, release(lots="L-1"), release(lots="L-2")),
}
