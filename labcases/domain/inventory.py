"""Where the pieces of a case are, as far as boxes tell."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from labcases.enums import BoxContent
from labcases.models import Box


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
    was listed and not found is missing until a later count finds more than was listed.
    """
    moves: list[tuple[datetime, int, Box]] = []
    for box in boxes:
        if box.sent_at:
            moves.append((box.sent_at, 0, box))
            if box.received_at:
                moves.append((box.received_at, 1, box))
    found: dict[str, Held] = {}
    for _at, arrived, box in sorted(moves, key=lambda move: (*move[:2], move[2].pk)):
        here, there = ("office", "laboratory") if box.comes_to == "laboratory" else _BACK
        for item in box.items.all():
            held = found.setdefault(item.content, Held(BoxContent(item.content)))
            if not arrived:
                setattr(held, here, max(0, getattr(held, here) - item.count))
                held.under_way += item.count
                continue
            counted = item.received_count or 0
            held.under_way -= item.count
            setattr(held, there, getattr(held, there) + counted)
            held.missing = max(0, held.missing + item.count - counted)
    return list(found.values())


_BACK = ("laboratory", "office")
