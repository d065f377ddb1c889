"""The whole check on calliper arches beside a plain search that shares nothing with it."""

import random
from dataclasses import replace

import numpy as np
import pytest

from occlusion.clearance import AskedExcursion, surface_clearance
from occlusion.clearance.callipers import oppose
from occlusion.spread import draws_of
from occlusion.surfaces.arches import set_up
from occlusion.surfaces.calliper import CalliperTooth
from tests.occlusion.bench import random_bench, settings_of
from tests.occlusion.clearance.brute_force import least_gap
from tests.occlusion.second_opinion import Bench, Move, solve

STAYS = (np.eye(3), np.zeros(3))

# The plain search on its own, on literals


def ball(x, y):
    inside = 1.0 - (x - 3.0) ** 2 - (y - 1.0) ** 2
    return np.where(inside >= 0.0, np.sqrt(np.maximum(inside, 0.0)), np.nan)


def plane(x, y):
    return 2.0 - 0.75 * (x - 3.0) + 0.0 * y


BOX = (0.0, 6.0, -2.0, 4.0)


def test_the_plain_search_finds_a_plane_over_a_ball():
    # Where the ball falls by 0.75 it stands at (3.6, 1, 0.8); there the plane stands at 1.55.
    assert least_gap(plane, ball, BOX, *STAYS) == (pytest.approx(0.75, abs=1e-5), True)


def test_the_plain_search_moves_the_lower_arch():
    # 1 mm forward and 0.5 mm up: the plane has fallen by 0.75 mm, the ball has risen by 0.5 mm.
    forward = (np.eye(3), np.array([1.0, 0.0, 0.5]))
    assert least_gap(plane, ball, BOX, *forward)[0] == pytest.approx(-0.5, abs=1e-5)
    # A quarter turn about z through the middle of the ball changes nothing.
    middle = np.array([3.0, 1.0, 0.0])
    turn = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    turned = least_gap(plane, ball, BOX, turn, middle - turn @ middle)
    assert turned[0] == pytest.approx(0.75, abs=1e-5)
    # The vertical leans to (0.6, 0, 0.8), the normal of the plane: all over the ball the plane
    # is then 2 * 0.8 from its middle, and so 0.6 mm from its top.
    tip = np.array([[0.8, 0.0, 0.6], [0.0, 1.0, 0.0], [-0.6, 0.0, 0.8]])
    leant = least_gap(plane, ball, BOX, tip, middle - tip @ middle)
    assert leant[0] == pytest.approx(0.6, abs=1e-5)


def test_the_plain_search_finds_nothing_over_nothing():
    assert least_gap(plane, ball, (5.0, 6.0, -2.0, 4.0), *STAYS) == (np.inf, False)


def test_the_plain_search_says_when_the_least_gap_is_at_a_rim():
    # A steep fall forward: least where the ball is as steep, a hundredth before it ends.
    found = least_gap(lambda x, y: 8.0 - 6.0 * (x - 3.0) + 0.0 * y, ball, BOX, *STAYS)

    assert found == (pytest.approx(8.0 - 37.0**0.5, abs=1e-3), False)


# Beside the check


def random_arches(draw):
    """Half a jaw: denture molars and premolars over natural teeth that stand as they like."""
    upper = [
        CalliperTooth(
            tooth=tooth, material="denture", cusp_angle_deg=draw.choice([0.0, 10.0, 20.0, 30.0])
        )
        for tooth in ("15", "16", "17")
    ]
    lower = [
        CalliperTooth(
            tooth=tooth,
            material="natural",
            cusp_angle_deg=draw.uniform(12.0, 32.0),
            tilt_deg=draw.uniform(-8.0, 8.0),
            tip_height_mm=draw.uniform(-0.4, 0.4),
        )
        for tooth in ("44", "45", "46", "47")
    ]
    return set_up(upper=upper, lower=lower, incisal_point_mm=(80.0, 0.0, -32.0))


def searched(arches, position, teeth=("15", "16", "17")):
    """Least gap of each tooth by the plain search, given nothing but heights."""

    def lower(x, y):
        return arches.heights("lower", x, y)

    found = []
    for form in (one for one in arches.upper if one.tooth in teeth):

        def upper(x, y, form=form):
            """The tooth where it is met first of the upper arch."""
            whole = arches.heights("upper", x, y)
            u, v = form.local(x, y)
            alone = np.where(form.covers(u, v), form.height(u, v), np.nan)
            return np.where(alone <= whole + 1e-9, alone, np.nan)

        found.append(least_gap(upper, lower, form.box_mm, position.rotation, position.shift))
    return found


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_gaps_of_random_set_ups_and_settings_are_those_of_the_plain_search(seed):
    draw = random.Random(seed)
    arches, bench = random_arches(draw), replace(random_bench(draw), opening=0.0)
    asked = [
        AskedExcursion(
            kind=kind, blend=blend, travel_mm=draw.uniform(1.0, 4.0), travel_along=along, steps=3
        )
        for kind, blend, along in (
            ("protrusive", 0.0, "horizontal"),
            ("right", 0.0, "path"),
            ("left", 0.5, "horizontal"),
        )
    ]
    found = surface_clearance(
        settings=settings_of(bench), asked=asked, surfaces=oppose(arches, pitch_mm=0.1)
    )

    inner = 0
    for one, excursion in zip(asked, found.excursions, strict=True):
        for share, step in ((2 / 3, -2), (1.0, -1)):
            move = Move(one.kind, share * one.travel_mm, one.travel_along, one.blend)
            there = searched(arches, solve(bench, move))
            for region, (gap, within) in zip(excursion.regions, there, strict=True):
                told = region.series[step].vertical_mm
                # At the rim of a tooth its last cell stands up to a cell inside.
                assert gap - 0.001 < told < gap + (0.01 if within else 0.06)
                inner += within
    assert inner >= 12


def test_the_spread_is_that_of_plain_searches_of_every_draw():
    draw = random.Random(7)
    arches = random_arches(draw)
    bench = Bench(
        inclination_right=30.0,
        inclination_left=35.0,
        bennett_right=12.0,
        bennett_left=15.0,
        table=15.0,
        wing_right=15.0,
        wing_left=15.0,
    )
    settings = settings_of(bench)
    widths = {"condylar_inclination_deg": 6.0, "bennett_deg": 5.0, "incisal_table_deg": 3.0}
    drawn = draws_of(settings, half_widths=widths, draws=40, seed=3)
    asked = AskedExcursion(kind="right", travel_mm=2.5, steps=6)
    found = surface_clearance(
        settings=settings, asked=[asked], surfaces=oppose(arches, pitch_mm=0.1), draws=drawn
    )
    ways = []
    for n in range(40):
        one = drawn.settings
        there = Bench(
            inclination_right=float(one.inclination_right_deg[n]),
            inclination_left=float(one.inclination_left_deg[n]),
            bennett_right=float(one.bennett_right_deg[n]),
            bennett_left=float(one.bennett_left_deg[n]),
            table=float(one.table_deg[n]),
            wing_right=15.0,
            wing_left=15.0,
        )
        ways.append([gap for gap, _ in searched(arches, solve(there, Move("right", 2.5)))])
    ends = dict(zip(("15", "16", "17"), np.array(ways).T, strict=True))

    for row in found.excursions[0].regions:
        gaps = ends[row.name]
        assert row.told_at_mm == pytest.approx(2.5)
        assert row.doubt.sd_mm == pytest.approx(gaps.std(), abs=0.005)
        assert row.doubt.p05_mm == pytest.approx(np.percentile(gaps, 5), abs=0.01)
        assert row.doubt.p95_mm == pytest.approx(np.percentile(gaps, 95), abs=0.01)
