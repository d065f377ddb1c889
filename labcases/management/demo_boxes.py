"""The story of a box that is overdue."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labcases.domain import replanning
from labcases.enums import Stage
from labcases.management import clock
from labcases.management.demo_delivery import before_today

if TYPE_CHECKING:
    from labcases.management.demo_stories import Stories


def on_the_way(stories: Stories) -> None:
    """Its box was packed and left a week ago, and nobody has taken it in."""
    with clock.on(before_today(7, stories.offices[0])):
        walk = stories.walk_to_surgery(0, "FL-1051", 103, "Carys Holt")
        walk.to(Stage.SENT)
    replanning.refresh([walk.case.pk])
