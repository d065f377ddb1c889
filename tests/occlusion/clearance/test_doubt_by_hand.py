"""Spreads of flats over flats: what is drawn, settled anew and counted, worked out by hand."""

import dataclasses

import numpy as np
import pytest

from occlusion.clearance.doubt import Candidates, ShapeChange, candidates, doubts
from occlusion.clearance.opposed import FormReading
from occlusion.surfaces.gaps import sample_gaps
from occlusion.surfaces.heightfield import field_of, tilted_view
from occlusion.surfaces.samples import Region, samples_of

REGIONS = [Region("back", (46.0, -25.0), 3.0), Region("front", (54.0, -25.0), 3.0)]
OFFSETS = np.linspace(-1.0, 1.0, 21)


def level(z, member, bounds=(40.0, 60.0, -30.0, -20.0)):
    return field_of(
        lambda x, y: z + 0.0 * x + 0.0 * y, member=member, bounds_mm=bounds, pitch_mm=0.2
    )


def shifted(x=0.0, z=0.0):
    matrix = np.eye(4)
    matrix[0, 3], matrix[2, 3] = x, z
    return matrix


#: An upper flat 1 mm over a lower one.
LOWER = level(0.0, "lower")
UPPER = samples_of(level(1.0, "upper"), regions=REGIONS)


def asked(transforms, told, *, field=LOWER, samples=UPPER, nominal=None, **options):
    """Doubts at positions 0, 1, ... of which each draw has its own."""
    transforms = np.asarray(transforms)
    nominal = transforms[0] if nominal is None else np.asarray(nominal)
    gaps = sample_gaps(field, samples.points_mm, nominal, member=samples.member)
    chosen = candidates(gaps_mm=gaps, samples=samples, told=told)
    return doubts(
        field=field,
        samples=samples,
        chosen=chosen,
        transforms=transforms[:, chosen.at],
        nominal=nominal[chosen.at],
        told=told,
        band_mm=0.1,
        **options,
    )


def test_percentiles_deviation_and_chance_are_those_of_the_draws():
    # The lower member rises by 0.0, 0.1 ... 2.0 mm at the second position.
    drawn = [[shifted(), shifted(z=1.0 + up)] for up in OFFSETS]
    back, front = asked(drawn, [1, 0], nominal=[shifted(), shifted(z=1.0)])

    assert (back.p05_mm, back.p95_mm) == pytest.approx((-0.9, 0.9), abs=1e-5)
    assert back.sd_mm == pytest.approx(0.60553, abs=1e-4)  # 0.1 sqrt((21^2 - 1) / 12)
    # Nine of 21 are below -0.1 mm by more than round-off; one is at -0.1 mm itself.
    assert back.p_interference == pytest.approx(9.5 / 21, abs=0.6 / 21)
    # Told at the first position, where nothing moves; counted at every one.
    assert (front.sd_mm, front.p05_mm) == pytest.approx((0.0, 1.0), abs=1e-6)
    assert front.p_interference == back.p_interference


@pytest.mark.parametrize("first", [0, 1])
def test_an_overlap_at_any_position_counts(first):
    ways = [shifted(z=1.5), shifted(z=-1.0)]
    drawn = [[ways[first], ways[1 - first]]] * 4

    for row in asked(drawn, [1 - first, 1 - first]):
        assert row.p_interference == 1.0
        assert row.p05_mm == pytest.approx(2.0, abs=1e-5)


@pytest.mark.parametrize("draws", [3, 200, 401])
def test_many_draws_are_looked_up_in_parts_and_each_once(draws):
    ups = np.linspace(0.0, 0.4, draws)
    (row, _) = asked([[shifted(z=up)] for up in ups], [0, 0])

    assert row.sd_mm == pytest.approx(ups.std(), abs=1e-5)
    assert row.p05_mm == pytest.approx(1.0 - np.percentile(ups, 95), abs=1e-5)


def test_a_region_is_told_by_its_own_draws_though_another_is_left_out():
    """Only the front region has something opposite."""
    field = level(0.0, "lower", bounds=(50.0, 60.0, -30.0, -20.0))
    drawn = [[shifted(z=0.3), shifted(z=0.8)], [shifted(z=0.5), shifted(z=0.8)]]
    back, front = asked(drawn, [1, 0], field=field)

    assert back is None
    assert (front.sd_mm, front.p05_mm) == pytest.approx((0.1, 0.51), abs=1e-5)


def test_draws_in_which_nothing_stands_opposite_do_not_widen_the_spread():
    gone = shifted(x=-40.0)
    (row, _) = asked([[shifted(z=0.2)], [gone], [gone]], [0, 0])

    assert (row.sd_mm, row.p95_mm) == pytest.approx((0.0, 0.8), abs=1e-5)


@pytest.mark.parametrize("member", ["upper", "lower"])
@pytest.mark.parametrize("tilt", [0.0, 30.0])
def test_positions_are_read_as_the_gap_maps_read_them(member, tilt):
    other = "lower" if member == "upper" else "upper"
    sign = 1.0 if member == "upper" else -1.0
    field = dataclasses.replace(
        field_of(
            lambda x, y: 0.3 * sign * np.cos(x) * np.cos(y),
            member=other,
            bounds_mm=(20.0, 70.0, -40.0, -10.0),
        ),
        view=tilted_view(member="lower", tilt_deg=tilt),
    )
    samples = samples_of(level(sign, member, bounds=(48.0, 52.0, -27.0, -23.0)))
    turned = shifted(x=0.7, z=0.3)
    turned[:3, :3] = tilted_view(member="lower", tilt_deg=2.0)
    least = sample_gaps(field, samples.points_mm, turned, member=member).min()
    if tilt == 0.0:
        # The member goes down towards the front: by hand its least gap is less than 1 mm off.
        assert abs(least) < 3.0

    (row,) = asked([[turned]] * 2, [0], field=field, samples=samples)

    assert row.p05_mm == pytest.approx(float(least), abs=1e-4)


def growing(*, per_mm):
    """A form whose gap grows by one for each unit, and by so much more for each mm forward."""

    def larger(member, places, transform):
        return 1.0 + per_mm * transform[:, 0, 3]

    return FormReading(
        "form", {"back": 1.0}, lambda member, places, transform: 0.0 * places[:, 0], larger
    )


def test_a_form_moves_the_gap_by_its_offset_and_only_that_of_its_region():
    offsets = np.column_stack([OFFSETS, np.zeros(21)])
    back, front = asked(
        [[shifted(z=-1.0), shifted(x=2.0, z=-1.0)]] * 21,
        [1, 1],
        changes=[ShapeChange(growing(per_mm=0.5), offsets + np.array([0.3, 0.0]))],
    )

    # 2 mm forward a unit is 1 + 2 / 2: from 2 - 1.4 to 2 + 2.6 mm.
    assert (back.p05_mm, back.p95_mm) == pytest.approx((0.8, 4.4), abs=1e-4)
    assert back.sd_mm == pytest.approx(2 * 0.60553, abs=1e-4)
    assert (front.sd_mm, front.p05_mm) == pytest.approx((0.0, 2.0), abs=1e-6)


def test_what_was_set_to_touch_keeps_its_gap_in_centric_and_moves_by_the_rest():
    offsets = np.column_stack([OFFSETS + 0.3, OFFSETS + 0.3])
    back, front = asked(
        [[shifted(z=-1.0), shifted(x=2.0, z=-1.0)]] * 21,
        [1, 1],
        changes=[ShapeChange(growing(per_mm=0.5), offsets)],
        settled=frozenset(["back"]),
    )

    # Set anew, a unit is 2 - 1 = 1 mm there: from 2 - 0.7 to 2 + 1.3 mm, and less 5 in a hundred.
    assert (back.p05_mm, back.p95_mm) == pytest.approx((1.4, 3.2), abs=1e-4)
    assert (front.p05_mm, front.p95_mm) == pytest.approx((0.8, 4.4), abs=1e-4)


def test_two_forms_add_up():
    one = np.column_stack([OFFSETS, OFFSETS])
    (row, _) = asked(
        [[shifted()]] * 21,
        [0, 0],
        changes=[ShapeChange(growing(per_mm=0.0), one), ShapeChange(growing(per_mm=0.0), 2 * one)],
    )

    assert row.sd_mm == pytest.approx(3 * 0.60553, abs=1e-4)


def test_further_vertical_errors_are_added_and_left_as_they_were():
    vertical = np.column_stack([OFFSETS, 0.5 * OFFSETS])
    before = vertical.copy()
    back, front = asked(
        [[shifted()]] * 21,
        [0, 0],
        vertical_mm=vertical,
        changes=[ShapeChange(growing(per_mm=0.0), 0 * vertical + 0.25)],
        settled=frozenset(["back"]),
    )

    assert (back.p05_mm, back.p95_mm) == pytest.approx((0.1, 1.9), abs=1e-5)
    assert (front.p05_mm, front.p95_mm) == pytest.approx((0.8, 1.7), abs=1e-5)
    assert (vertical == before).all()


# Which cells are drawn


def test_each_square_gives_its_deepest_cell_and_the_deepest_squares_are_kept():
    field = field_of(
        lambda x, y: 1.0 + 0.0 * x + 0.0 * y,
        member="upper",
        bounds_mm=(48.0, 52.0, -27.0, -23.0),
        pitch_mm=0.05,
    )
    samples = samples_of(field)
    x, y = samples.points_mm[:, 0].astype(float), samples.points_mm[:, 1].astype(float)
    gaps = (np.hypot(x - 50.01, y + 24.99))[None].astype(np.float32)

    found = candidates(gaps_mm=gaps, samples=samples, told=[0])

    (cells,) = found.samples
    kept = gaps[0, cells]
    assert len(cells) == 30
    assert (np.diff(kept) >= 0).all()
    assert kept[0] == pytest.approx(0.0141, abs=1e-3)
    # Thirty squares of 0.2 mm around a point lie within 0.75 mm, and no two share a square.
    assert 0.4 < kept[-1] < 0.75
    squares = {(int(i), int(j)) for i, j in np.floor(samples.points_mm[cells, :2] / 0.2)}
    assert len(squares) == 30


def test_told_positions_are_drawn_besides_six_even_ones_and_far_cells_are_not():
    gaps = np.full((31, len(UPPER)), 99.0, np.float32)
    front = np.flatnonzero(UPPER.region == 1)
    gaps[:, front[7]] = 0.5

    found = candidates(gaps_mm=gaps, samples=UPPER, told=[17, 30])

    assert found.at.tolist() == [0, 6, 12, 17, 18, 24, 30]
    assert [cells.tolist() for cells in found.samples] == [[front[7]]] * 7
    assert [owners.tolist() for owners in found.regions] == [[1]] * 7


def test_cells_of_no_region_are_not_drawn():
    gaps = np.where(UPPER.region < 0, -5.0, 1.0)[None].astype(np.float32)

    found = candidates(gaps_mm=gaps, samples=UPPER, told=[0])

    assert (UPPER.region[found.samples[0]] >= 0).all()
    assert isinstance(found, Candidates)
