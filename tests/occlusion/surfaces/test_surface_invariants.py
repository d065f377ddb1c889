"""What must hold of whole surfaces whatever the settings are: geometry, no source needed."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion import motion
from occlusion.surfaces.gaps import gap_maps, minima, sample_gaps
from occlusion.surfaces.heightfield import field_of
from occlusion.surfaces.samples import samples_of
from tests.occlusion import strategies as some
from tests.occlusion.bench import (
    INCISAL,
    at,
    excursion_of,
    mirrored,
    mirrored_move,
    settings_of,
    symmetric,
)
from tests.occlusion.second_opinion import Move
from tests.occlusion.surfaces import shapes
from tests.occlusion.surfaces.moves import along

PITCH_MM = 0.2
READ_OFF_MM = 0.005  # of a grid of 0.1 mm

quick = settings(max_examples=25, deadline=None)
short_moves = st.builds(
    Move,
    kind=st.sampled_from(["protrusive", "right", "left"]),
    travel=st.floats(0.5, 3.0),
    along=some.along,
)


def least_gaps(below, above, bounds, bench, move, *, size=1.0):
    """Least gap of an upper surface over a lower one at each of some positions."""
    box = tuple(size * edge for edge in bounds)
    lower, upper = (
        field_of(surface, member=member, bounds_mm=box, pitch_mm=size * PITCH_MM)
        for surface, member in ((below, "lower"), (above, "upper"))
    )
    positions = motion.lower_positions(
        settings=settings_of(bench, tuple(size * np.array(INCISAL))),
        excursion=excursion_of(move),
        steps=3,
    ).transforms
    samples = samples_of(upper)
    return minima(gap_maps(lower, samples, positions), samples)[0][:, 0]


@quick
@given(
    st.floats(10.0, 50.0),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
    st.floats(36.0, 72.0),
)
def test_further_forward_the_gap_over_a_facet_no_steeper_than_the_table_only_grows(
    inclination, part, facet_part, x
):
    # A lower cusp under an upper facet that it touches when closed; the facet rises backward.
    table = min(part * inclination, 35.0)
    slope = np.tan(np.radians(facet_part * table))
    centre = np.array([x, -25.0, -33.0])
    touched = centre + np.array([slope, 0.0, 1.0]) / np.hypot(slope, 1.0)
    lower = field_of(
        shapes.cap(tuple(centre), 1.0),
        member="lower",
        bounds_mm=(x - 1.5, x + 1.5, -26.5, -23.5),
    )
    facet = shapes.plane(tuple(touched), -slope, 0.0)
    samples = samples_of(
        field_of(facet, member="upper", bounds_mm=(x - 2.0, x + 7.0, -26.0, -24.0))
    )
    positions = along("protrusive", bench=symmetric(inclination, table), travel=4.0)
    least = minima(gap_maps(lower, samples, positions), samples)[0][:, 0]

    assert least[0] == pytest.approx(0.0, abs=READ_OFF_MM)
    assert (np.diff(least) > -READ_OFF_MM).all()


@quick
@given(
    some.pins,
    st.floats(0.2, 5.0),
    st.floats(0.2, 1.0),
    st.sets(st.integers(32, 84), min_size=2, max_size=5),
)
def test_an_opened_pin_lifts_every_place_the_more_the_further_it_is_from_the_axis(
    pin, opening, more, distances
):
    level = field_of(
        lambda x, y: -32.0 + 0.0 * x, member="lower", bounds_mm=(25.0, 90.0, -30.0, -20.0)
    )
    places = [(float(x), -25.0, -31.5) for x in sorted(distances)]

    def gaps(height):
        closed = at(symmetric(20, 10, pin=pin, opening=height), Move("protrusive", 0.0))
        return sample_gaps(level, places, closed.transform, member="upper")

    assert gaps(0.0) == pytest.approx(np.full(len(places), 0.5), abs=1e-4)
    assert (np.diff(gaps(opening)) > 0.0).all()
    assert (gaps(opening) > 0.5).all()
    assert (gaps(opening + more) > gaps(opening)).all()


@quick
@given(some.benches(opening=0.0), short_moves, st.integers(0, 2**32 - 1), st.floats(0.95, 1.05))
def test_surfaces_of_another_size_have_gaps_of_that_size(bench, move, seed, size):
    below, above, bounds = shapes.two_arches(seed, teeth=1)
    larger = replace(
        bench,
        intercondylar=bench.intercondylar * size,
        shift_right=bench.shift_right * size,
        shift_left=bench.shift_left * size,
        pin=tuple(size * np.array(bench.pin)),
    )

    def grown(surface):
        return lambda x, y: size * surface(x / size, y / size)

    one = least_gaps(below, above, bounds, bench, move)
    other = least_gaps(
        grown(below),
        grown(above),
        bounds,
        larger,
        replace(move, travel=move.travel * size),
        size=size,
    )

    assert one.max() < 20.0  # the surfaces face each other all the way
    assert other == pytest.approx(size * one, abs=1e-4)


@quick
@given(some.benches(opening=0.0), short_moves, st.integers(0, 2**32 - 1))
def test_right_and_left_surfaces_are_mirror_images(bench, move, seed):
    below, above, bounds = shapes.two_arches(seed, teeth=1)

    def in_a_mirror(surface):
        return lambda x, y: surface(x, -y)

    one = least_gaps(below, above, bounds, bench, move)
    other = least_gaps(
        in_a_mirror(below),
        in_a_mirror(above),
        (*bounds[:2], -bounds[3], -bounds[2]),
        mirrored(bench),
        mirrored_move(move),
    )

    assert one.max() < 20.0
    assert other == pytest.approx(one, abs=1e-4)
