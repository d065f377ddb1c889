"""Boxes as acts that make or mend a gap."""

from __future__ import annotations

from typing import Any

from labcases.domain import (
    box,
)
from labcases.management.walk import Walk
from labcases.models import Box
from tests.labcases.domain.gaps import LAB, Act


def last_box(walk: Walk, direction: str) -> Box:
    found = walk.reload().boxes.filter(direction=direction).last()
    assert found is not None
    return found


def contents(direction: str, *items: dict[str, Any]) -> Act:
    """What is in the last box of a direction, packed again."""

    def do(walk: Walk) -> None:
        packed = last_box(walk, direction)
        box.save(
            case=walk.case,
            box=packed,
            version=packed.version,
            direction=direction,
            courier="the other round" if packed.courier == "own round" else "own round",
            items=items,
            by=walk.hands.office_desk,
        )

    return do


def item(content: str, given: int | None = 10, agent: str = "spray") -> dict[str, Any]:
    return {
        "content": content,
        "count": 1,
        "agent": agent,
        "label_minutes": 10,
        "actual_minutes": given,
        "disinfected_by": "Farah Kline",
    }


def no_box(direction: str) -> Act:
    def do(walk: Walk) -> None:
        walk.case.boxes.filter(direction=direction).delete()

    return do


def not_taken_in(direction: str) -> Act:
    def do(walk: Walk) -> None:
        walk.case.boxes.filter(direction=direction).update(received_at=None, received_by=None)

    return do


def take_in(direction: str) -> Act:
    return lambda walk: walk.take_in(
        direction, by=walk.hands.lab_desk if direction == LAB else walk.hands.office_desk
    )


def pack_and_send(direction: str, *content: str) -> Act:
    def do(walk: Walk) -> None:
        by = walk.hands.office_desk if direction == LAB else walk.hands.lab_desk
        walk.reload()
        box.send(box=walk.pack(direction, *content, by=by), by=by)

    return do
