"""Acts from the remount on that can be undone, for the table of ``undone.py``."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from labcases.domain import device_statement, finishing, lots, remount, reviewing
from labcases.domain.processing import save_release
from labcases.enums import Stage
from labcases.enums.remount import RemountAct
from labcases.enums.reviews import ReviewAct
from labcases.management import walk_review
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


def lot_added(walk: Walk) -> Any:
    return lots.add(
        case=walk.reload(),
        by=walk.hands.technician,
        **{"lot_of": "liner", "lot": "S-4", "product": "soft liner", "note": ""},
    )


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


def seen(walk: Walk) -> Any:
    return walk_review.seen(walk.reload(), walk.hands.dentist, "first")


def marked(walk: Walk) -> Any:
    return walk_review.log(
        walk.reload(), walk.hands.dentist, ReviewAct.PASS, movement="centric", teeth=["16"]
    )


def relined(walk: Walk) -> Any:
    return walk_review.log(
        walk.reload(),
        walk.hands.dentist,
        ReviewAct.DONE,
        **{"decision": "reline", "product": "hard reline resin", "lot": "RL-7"},
    )


def _struck(enter: Doing) -> tuple[Doing, Doing]:
    """A line of the reviews that is there, and striking it out."""

    def strike(walk: Walk) -> None:
        row = walk.reload().review_entries.last()
        reviewing.strike(row=row, reason="wrong case", by=walk.hands.dentist)

    return enter, strike


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
    ("reviews", "entered"): (S.DELIVERED, nothing, seen),
    ("reviews", "struck out"): (S.DELIVERED, *_struck(seen)),
    ("clinical remount", "entered"): (S.DELIVERED, nothing, marked),
    ("clinical remount", "struck out"): (S.DELIVERED, *_struck(marked)),
    ("reline", "entered"): (S.DELIVERED, nothing, relined),
    ("reline", "struck out"): (S.DELIVERED, *_struck(relined)),
    ("release", "entered"): (S.REMOUNT, nothing, release(agent="spray")),
    ("release", "changed"): (S.REMOUNT, release(agent="spray"), release(agent="bath")),
}
