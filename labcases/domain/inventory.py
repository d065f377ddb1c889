"""Where the pieces of a case are, as far as boxes tell."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from labcases.enums import BoxContent
from labcases.enums.boxes import DifferenceOutcome
from labcases.models import Box, BoxItem


@dataclass
class Held:
    """Where the pieces of one kind are, as far as boxes tell."""

    content: BoxContent
    laboratory: int = 0
    office: int = 0
    under_way: int = 0
    missing: int = 0


def inventory(boxes: Iterable[Box]) -> list[Held]:
    """Where everything is that has travelled, in the order in which it first left.

    Sending takes pieces from a house, counting them in adds them to the other one. What
    was listed and not found is missing until a later count finds more than was listed, or
    until somebody says that it was found or never packed. What was in a box that is lost or
    not ours is missing until the box turns up.
    """
    moves: list[tuple[datetime, int, Box]] = []
    for box in boxes:
        if box.sent_at:
            moves.append((box.sent_at, 0, box))
            ended = box.received_at or (box.trouble_at if box.trouble else None)
            if ended:
                moves.append((ended, 1, box))
    found: dict[str, Held] = {}
    for _at, ended_here, box in sorted(moves, key=lambda move: (*move[:2], move[2].pk)):
        here, there = ("office", "laboratory") if box.comes_to == "laboratory" else _BACK
        for item in box.items.all():
            held = found.setdefault(item.content, Held(BoxContent(item.content)))
            if ended_here:
                held.under_way -= item.count
                _end(held, item, here, there)
            else:
                setattr(held, here, max(0, getattr(held, here) - item.count))
                held.under_way += item.count
    return list(found.values())


def _end(held: Held, item: BoxItem, here: str, there: str) -> None:
    """What a count, or a report that the box is gone, says of the pieces that were listed."""
    counted = item.arrived_count
    setattr(held, there, getattr(held, there) + counted)
    told = item.settlement
    if told and told.outcome == DifferenceOutcome.NEVER_PACKED and not item.box.trouble:
        setattr(held, here, getattr(held, here) + item.count - counted)
        return
    held.missing = max(0, held.missing + item.count - counted)


_BACK = ("laboratory", "office")
