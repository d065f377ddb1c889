"""The clearance check on surfaces whose gaps are known in closed form."""

import dataclasses

import numpy as np
import pytest

from occlusion.clearance import AskedExcursion, blends_of, surface_clearance, travels_of
from occlusion.errors import BadRequest, OutOfRange
from occlusion.front import FrontGuidance
from occlusion.motion import landmark_movement, lower_position
from occlusion.surfaces.heightfield import field_of
from occlusion.surfaces.samples import samples_of
from tests.occlusion.bench import settings_of, symmetric
from tests.occlusion.clearance.faces import MIDDLE, THREE, one, settings, slope, sphere_under_facet


def check(surfaces, *, bench=None, asked=THREE, **options):
    told = settings() if bench is None else settings_of(bench)
    return surface_clearance(settings=told, asked=asked, surfaces=surfaces, **options)


# Normal gaps at 3 mm, worked in closed form from the distance of the sphere's middle to the
# moved facet: protrusive, right, left. Computed by two independent hands; 0.005 at 0.1 mm.
@pytest.mark.parametrize(
    ("along_x", "along_y", "gaps"),
    [
        (-slope(20), 0.0, (-0.2172, 0.6177, 0.8911)),
        (slope(20), 0.0, (2.1482, 0.9809, 2.1871)),
        (0.0, slope(40), (0.7871, -1.0495, 2.9718)),
    ],
)
def test_a_sphere_leaves_its_facet_by_the_closed_form(along_x, along_y, gaps):
    found = check(sphere_under_facet(along_x, along_y), exact_normals=True)

    last = [one(found, asked.kind).series[-1].normal_mm for asked in THREE]
    assert last == pytest.approx(gaps, abs=0.005)


def test_an_interference_is_told_with_its_depth_place_and_time():
    row = one(check(sphere_under_facet(-slope(20), 0.0)), "protrusive")

    assert (row.state, row.predicted) == ("interference", "interference")
    assert row.vertical_mm == pytest.approx(-0.2311, abs=0.005)
    assert row.normal_mm == pytest.approx(-0.2172, abs=0.005)
    assert row.at_travel_mm == pytest.approx(3.0)
    # The sphere has gone forward with its tooth, about 3.4 mm, and touches there.
    assert row.at_mm == pytest.approx((53.8, -25.0, -33.32), abs=0.15)


def test_a_tooth_that_parts_counts_as_none_predicted_though_it_touched_at_the_start():
    row = one(check(sphere_under_facet(slope(20), 0.0)), "protrusive")

    assert row.state == "none predicted"
    assert row.vertical_mm == pytest.approx(0.0, abs=0.005)
    assert row.gap_mm == row.series[-1].vertical_mm == pytest.approx(2.28, abs=0.02)


def test_a_facet_along_the_path_keeps_its_contact():
    # Matched 20/20: every point goes down 20 deg, a facet of 20 deg that falls forward follows.
    found = check(sphere_under_facet(-slope(20), 0.0), bench=symmetric(20, 20), asked=[THREE[0]])
    row = one(found, "protrusive")

    assert row.state == "contact"
    assert row.gap_mm == pytest.approx(0.0, abs=0.005)
    assert row.contact_area_mm2 > 0.3


def test_the_band_decides_between_contact_and_none_predicted():
    surfaces = sphere_under_facet(-slope(20), 0.0, raised_mm=0.15)
    bench = symmetric(20, 20)

    near = one(check(surfaces, bench=bench, asked=[THREE[0]], band_mm=0.2), "protrusive")
    far = one(check(surfaces, bench=bench, asked=[THREE[0]], band_mm=0.1), "protrusive")

    assert (near.state, far.state) == ("contact", "none predicted")


def test_a_region_named_by_a_tooth_is_judged_by_its_side_and_the_scheme():
    surfaces = sphere_under_facet(-slope(20), 0.0, name="16")
    found = check(surfaces, scheme="canine")

    assert one(found, "right").role == "working"
    assert one(found, "left").role == "balancing"
    assert one(found, "protrusive").role == "protrusive"
    assert one(found, "left").verdict == "as wanted"
    assert one(found, "protrusive").verdict == "not as wanted"


def test_without_a_scheme_only_an_interference_is_judged():
    found = check(sphere_under_facet(-slope(20), 0.0, name="16"))

    assert one(found, "left").verdict == "scheme silent"
    assert one(found, "protrusive").verdict == "not as wanted"
    assert "No occlusal scheme is given: nothing is judged against one." in found.assumptions


def test_mirrored_arches_answer_mirrored():
    right = check(sphere_under_facet(0.0, slope(40)))
    left = check(sphere_under_facet(0.0, slope(40), mirrored=True))

    pairs = [("right", "left"), ("left", "right"), ("protrusive", "protrusive")]
    for kind, twin in pairs:
        told, other = one(right, kind), one(left, twin)
        assert told.vertical_mm == pytest.approx(other.vertical_mm, abs=1e-4)
        assert told.at_mm[1] == pytest.approx(-other.at_mm[1], abs=1e-4)


def test_an_opened_pin_widens_the_gap_on_the_instrument_and_makes_no_room():
    opened = dataclasses.replace(symmetric(30, 10, bennett=15, wing=20), opening=1.0)
    surfaces = sphere_under_facet(-slope(20), 0.0)
    closed, open_ = check(surfaces), check(surfaces, bench=opened)

    # 50 of 80 mm from the axis: 0.62 mm at the tooth for 1 mm at the pin.
    start = one(open_, "protrusive").series[0].vertical_mm
    assert start == pytest.approx(0.62, abs=0.16)
    assert one(open_, "protrusive").state == "none predicted"
    assert open_.reduction[0].vertical_mm == pytest.approx(
        closed.reduction[0].vertical_mm, abs=1e-6
    )
    assert any("an opened pin makes no room" in sentence for sentence in open_.assumptions)


def test_the_pin_is_lifted_by_the_overlap_in_the_ratio_of_the_distances():
    found = check(sphere_under_facet(-slope(20), 0.0))
    (protrusive,) = [row for row in found.excursions if row.excursion == "protrusive"]

    # 0.2308 mm at 53.8 mm from the axis is 0.343 mm at the pin, 80 mm from it.
    assert protrusive.pin_lift_mm == pytest.approx(0.231 * 80 / 53.8, abs=0.01)
    assert protrusive.pin_lift_at_mm == pytest.approx(3.0)
    assert protrusive.regions[0].pin_lift_mm == pytest.approx(protrusive.pin_lift_mm)


def test_steep_front_teeth_guide_and_make_the_rest_conditional():
    front = FrontGuidance(guided_by="stone teeth", overjet_mm=3.0, overbite_mm=3.0)
    surfaces = sphere_under_facet(-slope(20), 0.0, name="16")
    free, guided = check(surfaces), check(surfaces, front=front)

    assert one(free, "protrusive").state == "interference"
    assert one(guided, "protrusive").state == "none predicted"
    assert one(guided, "protrusive").conditional
    assert not one(free, "protrusive").conditional
    assert guided.excursions[0].front_lift_mm > 1.0


def test_probes_tell_the_height_that_the_lower_surface_sweeps():
    # Table and paths at 20 deg: the sphere goes 3 mm straight down its 20 deg.
    found = check(
        sphere_under_facet(-slope(20), 0.0),
        bench=symmetric(20, 20),
        asked=[AskedExcursion(kind="protrusive", travel_mm=3.0, steps=60)],
        probes_mm=[(50.0, -25.0), (51.5, -25.0), (53.0, -25.0), (90.0, 0.0)],
    )

    assert found.envelope_z_mm[:3] == pytest.approx((-32.0, -32.4818, -33.0277), abs=0.01)
    assert found.envelope_z_mm[3] is None


def test_the_gap_at_a_point_is_the_drop_less_the_way_along_the_facet():
    # By the movement of one point alone: what the surface shows when the sphere is small.
    told = settings(symmetric(35, 15, bennett=10, wing=15))
    asked = AskedExcursion(kind="right", travel_mm=2.0)
    position = lower_position(settings=told, excursion=asked.excursion)
    x, y, z = landmark_movement(position, tuple(float(v) for v in (50.0, -25.0, -33.0)))
    along_x, along_y = -slope(10), slope(12)
    normal = (along_x * x + along_y * y - z) / (1 + along_x**2 + along_y**2) ** 0.5

    found = surface_clearance(
        settings=told,
        asked=[asked],
        surfaces=sphere_under_facet(along_x, along_y),
        exact_normals=True,
    )

    assert one(found, "right").series[-1].normal_mm == pytest.approx(normal, abs=0.005)


def test_what_only_a_blend_meets_stands_in_the_way_though_no_excursion_tells_it():
    """A knob over the place that the sphere comes to half way between right and protrusion."""
    front = FrontGuidance(guided_by="table", overjet_mm=2.0, overbite_mm=0.0)
    half = AskedExcursion(kind="right", blend=0.5, travel_mm=3.0)
    end = lower_position(settings=settings(), excursion=half.excursion)
    x, y, z = MIDDLE + landmark_movement(end, tuple(float(v) for v in MIDDLE))

    def upper(at_x, at_y):
        inside = 0.5**2 - (at_x - x) ** 2 - (at_y - y) ** 2
        # Its lowest point reaches 0.2 mm into the top of the sphere there.
        return np.where(inside > 0, z + 1.3 - np.sqrt(np.maximum(inside, 0.0)), z + 5.0)

    above = field_of(upper, member="upper", bounds_mm=(48.0, 56.0, -30.0, -21.0))
    surfaces = sphere_under_facet(0.0, 0.0)
    knob = dataclasses.replace(
        surfaces,
        facings=(dataclasses.replace(surfaces.facings[0], samples=samples_of(above)),),
    )
    plain, blended = (
        surface_clearance(
            settings=settings(),
            asked=travels_of(front),
            surfaces=knob,
            front=front,
            swept_too=more,
        )
        for more in ((), blends_of(front))
    )

    assert plain.reduction == ()
    # 0.2 mm at that place, and a little more where a neighbouring blend passes it higher.
    assert 0.19 < blended.reduction[0].vertical_mm < 0.4
    assert [row.excursion for row in blended.excursions] == ["protrusive", "right", "left"]
    assert "6 blends between the lateral excursions and protrusion" in " ".join(blended.assumptions)


def test_nothing_opposite_is_said_and_not_made_up():
    surfaces = sphere_under_facet(-slope(20), 0.0)
    facing = surfaces.facings[0]
    away = facing.samples.taken(facing.samples.points_mm[:, 0] > 55.9)
    alone = dataclasses.replace(surfaces, facings=(dataclasses.replace(facing, samples=away),))

    row = one(check(alone, asked=[AskedExcursion(kind="left", travel_mm=0.5)]), "left")

    assert (row.state, row.vertical_mm, row.at_mm, row.doubt) == ("none predicted",) + (None,) * 3


@pytest.mark.parametrize(
    ("options", "error", "words"),
    [
        ({"asked": []}, BadRequest, "Give at least one"),
        ({"band_mm": 0.9}, OutOfRange, "Enter 0.005 to 0.5"),
        ({"scheme": "tripod"}, BadRequest, "Choose one of"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(options, error, words):
    with pytest.raises(error, match=words):
        check(sphere_under_facet(0.0, 0.0), **options)
