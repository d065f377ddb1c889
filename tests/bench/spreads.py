"""A thousand draws of the settings through whole paths of eight teeth."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from occlusion import motion, spread
from occlusion.settings_arrays import SettingsArrays
from tests.bench.engine import POSITIONS, TRAVEL_MM, excursion, median_ms
from tests.occlusion.bench import CANINE, M1, M2, PM1, settings_of, symmetric, tooth

DRAWS = 1000
SETTINGS = settings_of(symmetric(30.0, 20.0, bennett=15.0, wing=20.0, opening=1.0))
POINTS = np.array([tooth(at, side) for at in (CANINE, PM1, M1, M2) for side in ("right", "left")])


def paths(many: Any) -> Any:
    """Movements (draws, positions, teeth, 3) along one excursion."""
    positions = motion.lower_positions(
        settings=many, excursion=excursion(TRAVEL_MM), steps=POSITIONS - 1
    )
    return motion.landmark_movement(positions, POINTS)


def drawn(draws: int = DRAWS) -> spread.DrawnSpread:
    """Draws made and carried through."""
    return spread.spread_by_draws(paths, spread.draws_of(SETTINGS, draws=draws))


def one_by_one(many: SettingsArrays) -> Any:
    """The same by a call for each draw."""
    return np.array([paths(one) for one in many])


def lines(rounds: int) -> Iterator[str]:
    """The rows of this part."""
    many = spread.draws_of(SETTINGS, draws=DRAWS).settings
    apart = np.abs(paths(many) - one_by_one(many)).max()
    once, loop = median_ms(drawn, rounds), median_ms(lambda: one_by_one(many), 1)
    yield f"{f'{DRAWS} draws x {POSITIONS} x {len(POINTS)} points':<34}{once:>10.3f} ms"
    yield (
        f"{'one call for each draw':<34}{loop:>10.3f} ms {loop / once:>8.1f} times as long,"
        f" at most {apart:.0e} apart"
    )
    unit = [f"{1000 * median_ms(lambda n=n: drawn(n), rounds) / n:.0f}" for n in (250, 1000, 4000)]
    yield f"{'  for one draw of 250, 1000, 4000':<34}{' '.join(unit)} us"
