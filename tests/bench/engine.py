"""The closed form beside a plain loop and beside Newton's method on the constraints."""

from __future__ import annotations

import statistics
import timeit
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from occlusion import motion
from occlusion.articulator import ArticulatorSettings, Excursion
from tests.occlusion import second_opinion
from tests.occlusion.bench import settings_of, symmetric

POSITIONS = 180
TRAVEL_MM = 5.0
BENCH = symmetric(30.0, 20.0, bennett=15.0, wing=20.0)


def median_ms(work: Callable[[], Any], rounds: int, times: int = 1) -> float:
    """Median time of some rounds, in ms."""
    took = timeit.repeat(work, number=times, repeat=rounds)
    return 1000 * statistics.median(took) / times


def excursion(travel_mm: float) -> Excursion:
    return Excursion(kind="right", travel_mm=travel_mm, travel_along="horizontal")


def at_once(settings: ArticulatorSettings, count: int = POSITIONS) -> Any:
    """Positions of one excursion by one call."""
    return motion.lower_positions(
        settings=settings, excursion=excursion(TRAVEL_MM), steps=count - 1
    ).transforms


def one_by_one(settings: ArticulatorSettings) -> Any:
    """The same by a call for each."""
    return np.array(
        [
            motion.lower_position(settings=settings, excursion=excursion(travel)).transform
            for travel in np.linspace(0.0, TRAVEL_MM, POSITIONS)
        ]
    )


def by_constraints() -> Any:
    """The same by Newton's method on six conditions, which shares no formula with the engine."""
    found = [
        second_opinion.solve(BENCH, second_opinion.Move("right", float(travel)))
        for travel in np.linspace(0.0, TRAVEL_MM, POSITIONS)
    ]
    return np.array([np.column_stack([one.rotation, one.shift]) for one in found])


def lines(rounds: int) -> Iterator[str]:
    """The rows of this part."""
    settings = settings_of(BENCH)
    closed, newton = at_once(settings), by_constraints()
    apart = np.abs(closed[:, :3] - newton).max()
    once = median_ms(lambda: at_once(settings), rounds, 20)
    loop = median_ms(lambda: one_by_one(settings), rounds)
    search = median_ms(by_constraints, rounds)
    yield f"{f'{POSITIONS} positions at once':<34}{once:>10.3f} ms"
    yield f"{'one call for each':<34}{loop:>10.3f} ms {loop / once:>8.1f} times as long"
    yield (
        f"{'by constraints, Newton':<34}{search:>10.3f} ms {search / once:>8.1f} times as long,"
        f" at most {apart:.0e} apart"
    )
    unit = [
        f"{1000 * median_ms(lambda n=n: at_once(settings, n), rounds, 20) / n:.2f}"
        for n in (90, 180, 900)
    ]
    yield f"{'  for one of 90, 180, 900':<34}{' '.join(unit)} us"
