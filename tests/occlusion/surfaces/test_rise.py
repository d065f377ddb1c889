"""Rise of the pin on whole surfaces, against flat rims, inclines and brute force."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion import pin
from occlusion.errors import ImpossibleGeometry, NoSolution
from occlusion.surfaces.gaps import gap_maps, sample_gaps
from occlusion.surfaces.heightfield import field_of
from occlusion.surfaces.rise import surface_rise
from occlusion.surfaces.samples import Region, Samples, samples_of
from tests import published
from tests.occlusion import pin_second_opinion as second
from tests.occlusion.bench import INCISAL
from tests.published import number

RIM = -32.0
TOOTH_ROW = (20.0, 90.0, -35.0, 35.0)
#: The search ends within 1e-5 mm at the tooth, and the pin is up to 80/35 as far away.
NEAR = 3e-5


def flat(z=RIM, member="lower"):
    return field_of(lambda x, y: z + 0.0 * x, member=member, bounds_mm=TOOTH_ROW, pitch_mm=0.5)


def incline(through, slope_deg, *, bounds=TOOTH_ROW, pitch=0.5):
    """A lower plane through a place, of a slope that rises forward."""
    x0, _, z0 = through
    rise = math.tan(math.radians(slope_deg))
    return field_of(
        lambda x, y: z0 + rise * (x - x0), member="lower", bounds_mm=bounds, pitch_mm=pitch
    )


def tips(*places, names=None, member="upper"):
    """Single points as samples, each a region of its own."""
    count = len(places)
    return Samples(
        member,
        np.array(places, np.float32).reshape(-1, 3),
        np.arange(count, dtype=np.int16),
        names or tuple(str(11 + index) for index in range(count)),
        np.full(count, -1, np.int16),
        0.01,
    )


def rise(field, samples, **more):
    return surface_rise(field, samples, pin_point_mm=INCISAL, **more)


# Flat rims, where the answer is exact


@published.each("flat_rims")
def test_a_tip_over_a_flat_rim_lifts_the_pin_as_published(row):
    low = number(row, "too_low_mm")
    tip = (number(row, "tip_x_mm"), number(row, "tip_y_mm"), RIM - low)
    found = rise(flat(), tips(tip, names=("17",)))

    assert found.pin_rise_mm == pytest.approx(number(row, "pin_rise_mm"), abs=1e-4)
    assert found.first_contact == "17"
    assert found.teeth[0].depth_mm == pytest.approx(low, abs=1e-5)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(35.0, 75.0), st.floats(-30.0, 30.0), st.floats(RIM - 1.5, RIM + 1.0)),
        min_size=1,
        max_size=5,
    )
)
def test_whole_surfaces_and_flat_rims_agree_on_any_tips(places):
    places = [tuple(float(np.float32(value)) for value in place) for place in places]
    found = rise(flat(), tips(*places))
    exact = pin.pin_rise(pin_point_mm=INCISAL, lower_rim_z_mm=RIM, upper_tips_mm=places)

    assert found.pin_rise_mm == pytest.approx(exact.pin_rise_mm, abs=NEAR)
    alone = [tooth.rise_if_only_this_mm for tooth in found.teeth]
    assert alone == pytest.approx(exact.pin_rise_if_only_this_tip_mm, abs=NEAR)
    depths = [tooth.depth_mm for tooth in found.teeth]
    assert depths == pytest.approx(exact.grind_to_close_mm, abs=1e-5)
    assert (found.first_contact is None) is (found.pin_rise_mm == 0.0)


def test_the_first_contact_is_named_with_its_place_and_its_antagonist():
    # The same 0.3 mm lifts the pin 0.4785 at x = 50 and 0.6819 at x = 35.
    samples = tips((50, -25, -32.3), (35, -28, -32.3), names=("16", "17"))
    found = rise(flat(), samples, opposing_at=lambda x, y: "47" if x < 40 and y < 0 else None)

    assert (found.first_contact, found.opposing) == ("17", "47")
    assert found.contact_mm == pytest.approx((35, -28, -32.3), abs=1e-5)
    assert [one.rise_if_only_this_mm for one in found.teeth] == pytest.approx(
        [0.4785, 0.6819], abs=1e-4
    )
    # 16 then stands free: with the pin 0.6819 up, 0.128 mm of its own 0.4274 mm drop remain.
    assert [one.gap_mm for one in found.teeth] == pytest.approx([0.1281, 0.0], abs=2e-4)
    assert found.hinge_deg == pytest.approx(0.4892, abs=1e-4)


def test_surfaces_that_do_not_overlap_lift_nothing_and_show_their_gaps():
    found = rise(flat(), tips((50, -25, -31.8), (35, -28, -32.0)))

    assert (found.pin_rise_mm, found.hinge_deg, found.first_contact) == (0.0, 0.0, None)
    assert (found.contact_mm, found.opposing, found.warnings) == (None, None, ())
    assert [one.gap_mm for one in found.teeth] == pytest.approx([0.2, 0.0], abs=1e-5)
    assert [one.depth_mm for one in found.teeth] == [0.0, 0.0]
    assert "none predicted above 0 mm" in found.teeth[0].text


def test_lower_samples_under_an_upper_field_are_lowered_by_their_drop():
    # A lower tip at x = 50 stands 0.4 mm too high: its own drop has to be 0.4.
    samples = tips((50, -25, -31.6), names=("46",), member="lower")
    found = rise(flat(member="upper"), samples)
    angle = second.opened((50, -31.6), 0.4)

    assert found.pin_rise_mm == pytest.approx(float(second.movement((80, -32), angle)[0]), abs=NEAR)


# Inclines and whole teeth


@pytest.mark.parametrize("slope", [-40.0, -20.0, 0.0, 20.0, 35.0, 57.3])
def test_on_an_incline_the_shift_backward_helps_or_hinders(slope):
    # An upper tip 0.3 mm below a lower plane that rises forward by the slope. At 57.3 deg the plane
    # comes up nearly as fast as it goes down, and the ratio of distances leads nowhere.
    place, low = (50.0, -25.0, RIM), 0.3
    found = rise(incline(place, slope), tips((50.0, -25.0, RIM - low)))
    lean = math.tan(math.radians(slope))

    def below(angle):  # of the tip, seen from the opened lower member
        seen = second.turned((50.0, RIM - low), -angle)
        return RIM + lean * (seen.real - 50.0) - seen.imag

    angle = second.angle_where(below, low=0, high=0.12)
    assert found.pin_rise_mm == pytest.approx(float(second.movement((80, -32), angle)[0]), abs=1e-4)
    (tooth,) = found.teeth
    assert tooth.depth_mm == pytest.approx(0.3, abs=1e-5)
    assert tooth.normal_depth_mm == pytest.approx(0.3 * math.cos(math.radians(slope)), abs=1e-5)


def lower_cusps(x, y):
    """Three round cusps of the lower: paraboloids over a flat fossa."""
    tops = [(62.0, -21.0, -32.2), (50.0, -25.0, -31.9), (35.0, -28.0, -31.7)]
    found = np.full(np.shape(x), -34.0)
    for x0, y0, z0 in tops:
        found = np.maximum(found, z0 - ((x - x0) ** 2 + (y - y0) ** 2) / 6.0)
    return found


def upper_cusps(x, y):
    """Three round cusps of the upper, beside those of the lower."""
    tips_at = [(60.5, -20.0, -32.6), (48.8, -24.2, -32.7), (34.0, -27.0, -32.4)]
    found = np.full(np.shape(x), -28.0)
    for x0, y0, z0 in tips_at:
        found = np.minimum(found, z0 + ((x - x0) ** 2 + (y - y0) ** 2) / 5.0)
    return found


TEETH = tuple(
    Region(name, centre, 4.0)
    for name, centre in (("14", (61.0, -20.5)), ("16", (49.5, -24.5)), ("17", (34.5, -27.5)))
)
NEAR_TEETH = (28.0, 68.0, -34.0, -14.0)


def cusps(pitch=0.2):
    field = field_of(lower_cusps, member="lower", bounds_mm=(20, 75, -40, -8), pitch_mm=pitch)
    upper = field_of(upper_cusps, member="upper", bounds_mm=NEAR_TEETH, pitch_mm=pitch)
    return field, samples_of(upper, regions=TEETH)


def by_brute_force():
    """The first rung of a ladder of openings at which the two formulas overlap nowhere."""
    x, y = np.meshgrid(np.arange(28, 68, 0.1), np.arange(-34, -14, 0.1), indexing="ij")
    z = upper_cusps(x, y)

    def overlap(turn):  # opening turns the upper the other way
        cos, sin = math.cos(turn), math.sin(turn)
        return (sin * x + cos * z < lower_cusps(cos * x - sin * z, y)).any()

    coarse = next(turn for turn in np.arange(0.0, 0.05, 1e-3) if not overlap(turn)) - 1e-3
    turn = next(turn for turn in coarse + np.arange(0.0, 1.1e-3, 2e-5) if not overlap(turn))
    return 80.0 * math.sin(turn) + 32.0 * math.cos(turn) - 32.0


def test_round_cusps_lift_the_pin_as_far_as_brute_force_says():
    found = rise(*cusps())

    # A step of the ladder is 2e-5 rad or 0.0016 mm at the pin; cells of 0.2 mm cost 0.005.
    assert found.pin_rise_mm == pytest.approx(by_brute_force(), abs=0.008)
    assert found.pin_rise_mm > 0.5


def test_the_depths_proposed_bring_the_pin_back():
    field, samples = cusps()
    found = rise(field, samples)
    overlap = np.maximum(-gap_maps(field, samples, np.eye(4)[None]).gap_mm[0], 0.0)
    reduced = samples.points_mm + np.outer(overlap, [0.0, 0.0, 1.0]).astype(np.float32)
    after = rise(field, dataclasses.replace(samples, points_mm=reduced.astype(np.float32)))

    assert found.pin_rise_mm > 0.5
    assert after.pin_rise_mm == pytest.approx(0.0, abs=NEAR)
    for tooth in found.teeth:
        assert tooth.depth_mm == pytest.approx(overlap[samples.of(tooth.name)].max(), abs=1e-6)
        removed = overlap[samples.of(tooth.name)].sum() * 0.2**2
        assert tooth.volume_mm3 == pytest.approx(removed, rel=1e-5)


def test_once_risen_nothing_overlaps_and_the_first_contact_alone_touches():
    found = rise(*cusps())
    gaps = {tooth.name: tooth.gap_mm for tooth in found.teeth}

    assert gaps.pop(found.first_contact) == pytest.approx(0.0, abs=1e-5)
    assert min(gaps.values()) > 0.05
    highest = max(found.teeth, key=lambda tooth: tooth.rise_if_only_this_mm)
    assert highest.name == found.first_contact
    for tooth in found.teeth:
        assert tooth.normal_gap_mm <= tooth.gap_mm + 1e-6


def test_a_tooth_that_stood_free_may_meet_a_steep_wall_as_the_lower_goes_back():
    # 17 touches a wall of 65 deg that rises forward and is 0.6 mm high; 14 lifts the pin 0.2536.
    def height(x, y):
        wall = RIM + math.tan(math.radians(65)) * (x - 35.0)
        return np.where(x < 45.0, np.clip(wall, RIM - 3.0, RIM + 0.6), RIM)

    field = field_of(height, member="lower", bounds_mm=TOOTH_ROW, pitch_mm=0.1)
    samples = tips((63, -21, -32.2), (35, -28, -32.0 + 1e-4), names=("14", "17"))
    found = rise(field, samples)

    assert [tooth.rise_if_only_this_mm for tooth in found.teeth] == pytest.approx(
        [0.2536, 0.0], abs=1e-4
    )
    assert found.first_contact == "17"
    assert found.pin_rise_mm > 1.0
    assert all(tooth.gap_mm >= -1e-5 for tooth in found.teeth)


def test_the_search_closes_in_by_the_ratio_of_distances_and_not_by_halving(monkeypatch):
    field, samples = cusps()
    looked = []

    def counted(*given, **more):
        looked.append(given)
        return sample_gaps(*given, **more)

    monkeypatch.setattr("occlusion.surfaces.rise.sample_gaps", counted)
    rise(field, samples)

    # Three teeth, what belongs to none of them, and all of them together: 5 searches.
    assert len(looked) <= 5 * 8


# What is never proposed, and what cannot be told


def test_a_natural_tooth_is_found_in_the_way_and_given_no_depth():
    samples = tips((50, -25, -32.3), (35, -28, -32.3), names=("16", "17"))
    natural = rise(flat(), samples, materials={"17": "natural", "16": "denture"}).teeth[1]

    assert (natural.depth_mm, natural.normal_depth_mm, natural.volume_mm3) == (None, None, None)
    assert natural.interference_mm == pytest.approx(0.3, abs=1e-5)
    assert natural.text == "17 is natural and stands 0.30 mm in the way: the dentist decides."


def test_a_tooth_without_antagonist_lifts_nothing():
    samples = tips((50, -25, -32.3), (95, 0, -40), names=("16", "11"))
    found = rise(flat(), samples)
    front = found.teeth[1]

    assert found.first_contact == "16"
    assert (front.rise_if_only_this_mm, front.gap_mm, front.place_mm) == (0.0, None, None)
    assert (front.depth_mm, front.text) == (0.0, "11 has no antagonist here.")


def test_nothing_over_the_other_arch_lifts_nothing():
    found = rise(flat(), tips((95, 0, -40)))

    assert (found.pin_rise_mm, found.first_contact) == (0.0, None)


def test_what_belongs_to_no_tooth_may_lift_the_pin_too():
    samples = tips((50, -25, -32.3), (35, -28, -32.0), names=("16", "17"))
    found = rise(flat(), dataclasses.replace(samples, region=np.array([-1, 1], np.int16)))

    assert found.first_contact == "elsewhere"
    assert found.pin_rise_mm == pytest.approx(0.4785, abs=1e-4)
    assert [tooth.name for tooth in found.teeth] == ["16", "17"]


def test_a_rise_of_more_than_6_mm_warns_and_one_of_more_than_10_is_refused():
    found = rise(flat(), tips((50, -25, -36.5)))

    assert [warning.code for warning in found.warnings] == ["pin_opening_unusual"]
    with pytest.raises(NoSolution, match="however far the pin is opened, up to 10 mm"):
        rise(flat(), tips((50, -25, -45.0)))


def test_pin_and_contact_must_lie_before_the_axis():
    with pytest.raises(ImpossibleGeometry, match="pin point lies behind"):
        surface_rise(flat(), tips((50, -25, -32.3)), pin_point_mm=(-1, 0, -32))
    behind = field_of(lambda x, y: RIM + 0 * x, member="lower", bounds_mm=(-20, 20, -9, 9))
    with pytest.raises(ImpossibleGeometry, match="meet behind the hinge axis"):
        rise(behind, tips((-10, 0, -33)))


def test_many_cells_behind_a_least_gap_ignore_a_single_spike():
    field, samples = cusps()
    spiked = samples.points_mm.copy()
    cell = samples.of("17")[0]
    spiked[cell] = (34.5, -27.5, -33.5)
    noisy = dataclasses.replace(samples, points_mm=spiked)
    plain, robust, smooth = rise(field, noisy), rise(field, noisy, lowest=25), rise(field, samples)

    assert plain.pin_rise_mm - smooth.pin_rise_mm > 1.0
    assert robust.pin_rise_mm == pytest.approx(smooth.pin_rise_mm, abs=0.25)
