"""Draws against printed spreads, and against a sample of the second opinion's own."""

import random
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from occlusion import spread
from tests import published
from tests.occlusion.bench import settings_of, symmetric, tooth
from tests.occlusion.second_opinion import Bench, Move, solve
from tests.occlusion.spread.drawn import ANGLES, ERRORS, NOMINAL, PIN, PLACES, SIDES, drawn, drops
from tests.published import number

#: Names of the second opinion for what is drawn.
NAMES = {
    "condylar_inclination_deg": ("inclination_right", "inclination_left"),
    "bennett_deg": ("bennett_right", "bennett_left"),
    "incisal_table_deg": ("table",),
    "lateral_wing_deg": ("wing_right", "wing_left"),
    "pin_opening_mm": ("opening",),
}


@cache
def by_second_opinion(kind, count=120):
    """Drops on both sides, from settings drawn here and positions found by constraints.

    Each reading takes one value in each of so many equal parts of its width, in an order of its
    own: a nearly linear result is then known far better than from as many free draws.
    """
    draw = random.Random(11)
    columns = {}
    for quantity, width in ERRORS["angles and pin"].items():
        for name in NAMES[quantity]:
            parts = draw.sample(range(count), count)
            columns[name] = [
                getattr(NOMINAL, name) + width * (2 * (part + draw.random()) / count - 1)
                for part in parts
            ]
    found = {"right": [], "left": []}
    for index in range(count):
        off = {name: column[index] for name, column in columns.items()}
        position = solve(replace(NOMINAL, **off), Move(kind, 3.0))
        for side, drops_of in found.items():
            drops_of.append([-position.moves(tooth(p, side))[2] for p in PLACES.values()])
    return {side: np.array(drops_of) for side, drops_of in found.items()}


def bench_of(one):
    """Settings as the second opinion names them."""
    return Bench(
        intercondylar=one.intercondylar_mm,
        inclination_right=one.right.inclination_deg,
        inclination_left=one.left.inclination_deg,
        bennett_right=one.right.bennett_deg,
        bennett_left=one.left.bennett_deg,
        shift_right=one.right.immediate_side_shift_mm,
        shift_left=one.left.immediate_side_shift_mm,
        table=one.table.sagittal_deg,
        wing_right=one.table.wing_right_excursion_deg,
        wing_left=one.table.wing_left_excursion_deg,
        table_on=one.table.mounted_on,
        pin=one.guided_point_mm,
        opening=one.pin_opening_mm,
    )


@published.each("drawn_spreads")
def test_a_thousand_draws_spread_as_printed(row):
    found = drawn(row["side"], row["errors"])
    values = getattr(found, row["statistic"])
    tolerance = number(row, "tolerance")

    for index, place in enumerate(PLACES):
        expected = number(row, f"{place}_mm")
        if expected is not None:
            near = {"rel": tolerance} if row["statistic"] == "sd" else {"abs": tolerance}
            assert values[index] == pytest.approx(expected, **near)


@pytest.mark.parametrize("side", list(SIDES))
def test_a_sample_of_its_own_by_the_second_opinion_agrees(side):
    kind = "protrusive" if side == "protrusive" else "right"
    found, other = drawn(side, "angles and pin", draws=4000), by_second_opinion(kind)[SIDES[side]]

    assert found.mean == pytest.approx(other.mean(axis=0), abs=0.02)
    assert found.sd == pytest.approx(other.std(axis=0, ddof=1), rel=0.10)
    assert found.p05 == pytest.approx(np.percentile(other, 5, axis=0), abs=0.10)
    assert found.p95 == pytest.approx(np.percentile(other, 95, axis=0), abs=0.10)


@pytest.mark.parametrize("side", list(SIDES))
def test_each_draw_moves_as_the_second_opinion_moves_its_settings(side):
    sample = spread.draws_of(settings_of(NOMINAL), half_widths=ANGLES | PIN, draws=15, seed=4)
    found = spread.spread_by_draws(drops(side), sample)
    kind = "protrusive" if side == "protrusive" else "right"

    for values, one in zip(found.values, sample.settings, strict=True):
        position = solve(bench_of(one), Move(kind, 3.0))
        expected = [-position.moves(tooth(p, SIDES[side]))[2] for p in PLACES.values()]
        assert values == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("side", list(SIDES))
def test_draws_and_first_order_agree_where_errors_are_small(side):
    widths = {name: width / 10 for name, width in (ANGLES | PIN).items()}
    sample = spread.draws_of(settings_of(NOMINAL), half_widths=widths, draws=4000)
    by_draws = spread.spread_by_draws(drops(side), sample)
    first = spread.first_order_spread(
        lambda one: drops(side)([one])[0], settings=settings_of(NOMINAL), half_widths=widths
    )

    assert by_draws.value == pytest.approx(first.value, abs=1e-12)
    assert by_draws.sd == pytest.approx(first.sd, rel=0.05)
    assert by_draws.mean == pytest.approx(first.value, abs=3e-3)


def test_unlike_inclinations_slide_the_pin_onto_a_wing_which_only_draws_can_tell():
    # In protrusion the pin leaves the midline as soon as the sides differ, either way, and a wing
    # then takes it down: the mean of the draws lies below the path as read. Flat wings do not.
    widths = {"condylar_inclination_deg": 5.0}
    winged, flat = (
        spread.spread_by_draws(
            drops("protrusive"),
            spread.draws_of(
                settings_of(symmetric(30, 20, wing=wing)), half_widths=widths, draws=4000
            ),
        )
        for wing in (20, 0)
    )

    assert (winged.mean - winged.value > 0.010).all()
    assert flat.mean == pytest.approx(flat.value, abs=0.008)
