"""Marks of four passes held against every change, beside asking the check anew for each."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from occlusion import clearance
from occlusion.clearance import callipers
from occlusion.explaining import explain, possible_causes
from tests.bench.engine import median_ms
from tests.occlusion.explaining.passes import ASKED, FRONT, SETTINGS, arches, seen_with


def lines(rounds: int) -> Iterator[str]:
    """The rows of this part."""
    built = arches()
    passes = seen_with("incisal_table_deg", 10.0, seed=4)
    causes = possible_causes(SETTINGS, (*built.upper, *built.lower))
    changes = sum(len(cause.nodes()) for cause in causes)

    def explained() -> Any:
        return explain(settings=SETTINGS, arches=built, asked=ASKED, passes=passes, front=FRONT)

    def check() -> Any:
        return clearance.surface_clearance(
            settings=SETTINGS, asked=ASKED, surfaces=callipers.oppose(built), front=FRONT
        )

    once, anew = median_ms(explained, rounds), median_ms(check, rounds)
    yield f"{f'marks, {len(causes)} causes':<34}{once:>10.3f} ms"
    yield (
        f"{'  one check of the same teeth':<34}{anew:>10.3f} ms; one for each of {changes} changes"
        f" would take {changes * anew / once:.0f} times as long"
    )
