"""Who holds a case now, and since when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from labcases.domain import stages
from labcases.domain.queries import Line
from labcases.enums import Side, Stage
from labcases.models import Box, Case

AT_THE_OFFICE = frozenset(
    {
        Stage.DRAFT,
        Stage.JAW_RECORDS,
        Stage.TRY_IN,
        Stage.RECEIVED,
        Stage.DELIVERED,
        Stage.IN_REVIEW,
    }
)
"""Stages in which the office has something to do; the laboratory has in all others."""


@dataclass(frozen=True)
class Holder:
    """The house that has to do something, or the road, and since when."""

    side: Side | None
    since: datetime
    why: str

    @property
    def words(self) -> str:
        where = {Side.OFFICE: "the office", Side.LABORATORY: "the laboratory"}
        return where[self.side] if self.side else "a box on the road"


def of(line: Line) -> Holder | None:
    """Who holds a case; nobody on hold and after the end.

    Who must answer comes before a box on the road, and the road before the stage.
    """
    case = line.case
    if case.on_hold or not case.is_open:
        return None
    if line.waiting:
        first = line.waiting[0]
        return Holder(first.on, first.since, first.what)
    road = [box for box in _under_way(case) if box.sent_at and not box.trouble]
    if road:
        last = max(road, key=lambda box: (box.sent_at, box.pk))
        return Holder(None, last.sent_at or case.stage_since, f"sent {last.direction}")
    side = Side.OFFICE if line.stage in AT_THE_OFFICE else Side.LABORATORY
    return Holder(side, case.stage_since, stages.stage_words(case).lower())


def _under_way(case: Case) -> list[Box]:
    """Boxes that were not taken in, by the list that fetched them where one did."""
    fetched: list[Box] | None = getattr(case, "boxes_under_way", None)
    return list(case.boxes.filter(received_at__isnull=True)) if fetched is None else fetched
