"""Clearance from calliper facets: states, verdicts, doubt, front teeth, symmetry."""

import dataclasses

import numpy as np
import pytest

from occlusion import frames
from occlusion.articulator import Excursion, ReferencePlane
from occlusion.facet_check import facet_clearance
from occlusion.errors import BadRequest, MixedReferencePlanes, OutOfRange, SidesLookSwapped
from occlusion.facets import FacetSite
from occlusion.front import FrontGuidance
from occlusion.motion import facet_gap_mm, landmark_movement, lower_position
from occlusion.spread import DEFAULT_HALF_WIDTHS
from tests.occlusion.bench import CANINE, M1, M2, PM1, settings_of, symmetric, tooth

PLACES = {"13": CANINE, "14": PM1, "16": M1, "17": M2}
EDGE = FrontGuidance(guided_by="table", overjet_mm=2.0, overbite_mm=0.5)
MATCHED = symmetric(20, 20, bennett=15, wing=20, table_on="lower")


def site(number, facet=20.0, *, antagonist="natural", side="right", **facets):
    angles = {f"{role}_facet_deg": facet for role in ("protrusive", "working", "balancing")}
    name = number if side == "right" else f"2{number[1]}"
    return FacetSite(
        tooth=name,
        landmark_mm=tooth(PLACES[number], side),
        antagonist=antagonist,
        **{**angles, **facets},
    )


def check(*sites, bench=MATCHED, front=EDGE, scheme="balanced", **options):
    return facet_clearance(
        settings=settings_of(bench), sites=sites, front=front, scheme=scheme, **options
    )


def one(found, excursion, number):
    (row,) = [row for row in found.excursions if row.excursion == excursion]
    (result,) = [result for result in row.sites if result.tooth == number]
    return result


@pytest.mark.parametrize(
    ("facet", "state", "gap"),
    # Matched 20/20, 3 mm: facets of 15, 20 and 25 deg; worked by two independent methods.
    [(15, "none predicted", 0.288), (20, "contact", 0.0), (25, "interference", -0.307)],
)
def test_a_facet_is_compared_with_the_path_of_its_tooth(facet, state, gap):
    result = one(check(site("17", facet)), "protrusive", "17")

    assert (result.state, result.predicted) == (state, state)
    assert result.gap_mm == pytest.approx(gap, abs=0.0005)
    assert result.at_travel_mm == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("facet", "verdict"),
    [(15, "not as wanted"), (20, "as wanted"), (25, "not as wanted")],
)
def test_balance_wants_the_contact_and_nothing_else(facet, verdict):
    assert one(check(site("17", facet)), "protrusive", "17").verdict == verdict


def test_sides_take_their_roles_from_the_excursion():
    found = check(site("16"), site("16", side="left"))

    assert one(found, "right", "16").role == "working"
    assert one(found, "right", "26").role == "balancing"
    assert one(found, "left", "26").role == "working"
    assert one(found, "protrusive", "26").role == "protrusive"


def test_each_role_has_its_own_facet():
    flat = site("16", 0.0, balancing_facet_deg=40.0)
    found = check(flat)

    assert one(found, "right", "16").state == "none predicted"
    assert one(found, "left", "16").state == "interference"


def test_travel_is_overjet_and_a_millimetre_or_canine_tip_to_tip_and_at_most_six():
    travels = [row.travel_mm for row in check(site("16")).excursions]
    far = dataclasses.replace(EDGE, overjet_mm=9.0)

    # Lateral: the root of 2 squared and 3.75 squared, half a canine of 7.5 mm.
    assert travels == pytest.approx([3.0, 4.25, 4.25])
    assert [row.travel_mm for row in check(site("16"), front=far).excursions] == [6.0] * 3


def test_the_series_runs_from_contact_to_the_end_of_travel():
    series = one(check(site("17", 15), steps=10), "protrusive", "17").series

    assert len(series) == 11
    assert series[0] == (0.0, 0.0)
    assert series[-1] == pytest.approx((3.0, 0.288), abs=0.0005)


def test_the_immediate_side_shift_is_swept_before_the_travel():
    shifted = dataclasses.replace(MATCHED, shift_left=1.0)
    series = one(check(site("16", 30), bench=shifted), "right", "16").series

    at_start = [gap for travel, gap in series if travel == 0.0]
    assert len(at_start) > 2
    assert at_start[-1] < at_start[1] < at_start[0] == 0.0


def test_an_opened_pin_makes_no_room():
    opened = dataclasses.replace(MATCHED, opening=1.0)
    found = check(site("17"), bench=opened)

    assert one(found, "protrusive", "17").state == "contact"
    assert any("an opened pin makes no room" in sentence for sentence in found.assumptions)


def test_without_an_antagonist_there_is_no_result_and_it_says_so():
    found = check(site("16"), site("17", antagonist=None))

    assert [row.tooth for row in found.excursions[0].sites] == ["16"]
    assert [(row.tooth, row.text) for row in found.left_out] == [
        ("17", "Tooth 17 has no antagonist, so nothing is predicted for it.")
    ]


def test_without_reading_errors_there_is_no_spread():
    result = one(check(site("16")), "right", "16")

    assert (result.sd_mm, result.p_interference) == (None, None)


def test_an_interference_is_possible_when_its_probability_passes_five_in_a_hundred():
    # 15 deg leave 0.288 mm at 3 mm; 5 deg of facet alone are 0.05 sd per mm of travel.
    sure = check(site("17", 12), scheme="canine", reading_half_widths={"facet_deg": 1.0})
    doubtful = check(site("17", 18), scheme="canine", reading_half_widths=DEFAULT_HALF_WIDTHS)

    result = one(sure, "protrusive", "17")
    assert (result.state, result.verdict) == ("none predicted", "as wanted")
    assert result.p_interference < 0.05
    result = one(doubtful, "protrusive", "17")
    assert (result.state, result.verdict) == ("interference possible", "not as wanted")
    assert result.predicted == "none predicted"
    assert result.p_interference > 0.05


def test_the_spread_of_a_gap_from_its_facet_alone():
    # d(gap) = 3 mm sec^2(20 deg) per radian: 0.0593 mm per deg forward, times 5 / root 3.
    found = check(site("17"), reading_half_widths={"facet_deg": 5.0})

    assert one(found, "protrusive", "17").sd_mm == pytest.approx(0.172, abs=0.002)


def test_steeper_front_teeth_lift_the_pin_and_make_the_rest_conditional():
    # 2 mm overbite over 2 mm overjet is 45 deg. Edge to edge the incisal point has dropped 2 mm;
    # the matched 20 deg table has then let it drop 2.452 mm x tan(20) = 0.892 mm.
    deep = FrontGuidance(guided_by="table", overjet_mm=2.0, overbite_mm=2.0)
    protrusive = check(site("17"), front=deep).excursions[0]

    assert protrusive.pin_lift_mm == pytest.approx(2.0 - 0.892, abs=0.002)
    assert protrusive.pin_lift_at_mm == pytest.approx(2.452, abs=0.002)
    assert protrusive.sites[0].conditional is True
    assert protrusive.sites[0].state == "contact"


def test_front_teeth_flatter_than_the_table_lift_nothing():
    row = check(site("17")).excursions[0]

    assert (row.pin_lift_mm, row.pin_lift_at_mm) == (0.0, 0.0)
    assert row.sites[0].conditional is False


@pytest.mark.parametrize("guided_by", ["stone teeth", "denture teeth"])
def test_guiding_front_teeth_part_the_posterior_ones_while_the_overjet_lasts(guided_by):
    deep = FrontGuidance(guided_by=guided_by, overjet_mm=2.0, overbite_mm=2.0)
    result = one(check(site("17"), front=deep), "protrusive", "17")
    gaps = dict(result.series)

    assert max(gap for travel, gap in gaps.items() if travel < 2.452) > 0.3
    assert gaps[result.at_travel_mm] == pytest.approx(0.0, abs=1e-9)  # the table guides again
    assert (result.state, result.verdict) == ("none predicted", "not as wanted")


def test_mirroring_a_case_swaps_left_and_right_exactly():
    bench = dataclasses.replace(
        symmetric(30, 15, table_on="lower"),
        **{"inclination_right": 38, "bennett_right": 9, "shift_right": 0.4, "wing_right": 25},
        **{"inclination_left": 27, "bennett_left": 16, "shift_left": 0.0, "wing_left": 12},
    )
    mirrored = dataclasses.replace(
        bench,
        **{"inclination_left": 38, "bennett_left": 9, "shift_left": 0.4, "wing_left": 25},
        **{"inclination_right": 27, "bennett_right": 16, "shift_right": 0.0, "wing_right": 12},
    )
    deep = FrontGuidance(guided_by="stone teeth", overjet_mm=3.0, overbite_mm=2.0)
    options = {"front": deep, "reading_half_widths": DEFAULT_HALF_WIDTHS}
    found = check(site("16", 22), site("17", 18, side="left"), bench=bench, **options)
    swapped = check(site("16", 22, side="left"), site("17", 18), bench=mirrored, **options)
    other = {"protrusive": "protrusive", "right": "left", "left": "right"}

    for excursion in other:
        for number, twin in (("16", "26"), ("27", "17")):
            here, there = one(found, excursion, number), one(swapped, other[excursion], twin)
            assert (here.role, here.state, here.verdict) == (there.role, there.state, there.verdict)
            assert here.gap_mm == pytest.approx(there.gap_mm, abs=1e-12)  # round-off
            assert here.sd_mm == pytest.approx(there.sd_mm, abs=1e-12)


def test_a_small_interference_asks_for_foil_before_any_reduction():
    codes = [warning.code for warning in check(site("17", 23)).warnings]
    deep_codes = [warning.code for warning in check(site("17", 40, working_facet_deg=0)).warnings]

    assert codes == ["calliper_depth_small"]
    assert deep_codes == []


def test_no_sentence_ever_says_clear():
    found = check(site("16", 10), scheme="canine", reading_half_widths=DEFAULT_HALF_WIDTHS)
    said = " ".join([*found.assumptions, *(warning.text for warning in found.warnings)]).lower()

    assert "no interference" not in said
    assert " clear " not in said


def test_reading_errors_are_told_in_words_with_their_units():
    found = check(site("16", 10), reading_half_widths=DEFAULT_HALF_WIDTHS)

    assert (
        "Reading errors, half-widths: condylar inclination 5 deg, Bennett angle 5 deg, incisal "
        "table 1 deg, lateral wing 1 deg, pin opening 0.5 mm, facet angle 5 deg; right and left "
        "independent."
    ) in found.assumptions


def test_facets_read_against_another_plane_are_refused():
    other = dataclasses.replace(site("16"), plane=ReferencePlane(name="occlusal plane"))

    with pytest.raises(MixedReferencePlanes):
        check(other)


def test_a_tilted_plane_changes_no_gap_when_everything_is_turned_with_it():
    # Points turned by 12 deg about the hinge axis, all angles read against a plane turned alike.
    settings = settings_of(dataclasses.replace(MATCHED, inclination_right=26, inclination_left=26))
    turn = frames.about_y(np.radians(12.0))
    tilted = dataclasses.replace(
        settings,
        incisal_point_mm=tuple(turn @ np.array(settings.incisal_point_mm)),
        pin_point_mm=None,
        reference_plane=ReferencePlane(tilt_deg=12.0),
    )
    upright, turned = site("16", 25), site("16", 25)
    turned = dataclasses.replace(turned, landmark_mm=tuple(turn @ np.array(upright.landmark_mm)))
    # The travel is horizontal in the axes, so the same condyle place is reached by another one.
    at_26, at_38 = np.cos(np.radians(26.0)), np.cos(np.radians(38.0))
    gaps = [
        facet_gap_mm(
            frames.into_plane(
                landmark_movement(
                    lower_position(
                        settings=one,
                        excursion=Excursion(
                            kind="protrusive", travel_mm=travel, travel_along="horizontal"
                        ),
                    ),
                    place.landmark_mm,
                ),
                tilt_deg=one.reference_plane.tilt_deg,
            ),
            25,
        )
        for one, place, travel in (
            (settings, upright, 3.0),
            (tilted, turned, 3.0 * at_38 / at_26),
        )
    ]

    assert gaps[0] == pytest.approx(float(gaps[1]), abs=1e-9)  # round-off


def test_impossible_questions_are_refused():
    with pytest.raises(BadRequest, match="Give at least one site"):
        check()
    with pytest.raises(BadRequest, match="Choose one of: balanced"):
        check(site("16"), scheme="any")
    with pytest.raises(OutOfRange):
        check(site("16"), band_mm=2.0)
    with pytest.raises(SidesLookSwapped):
        dataclasses.replace(site("16"), tooth="26")


def test_a_case_without_any_antagonist_is_followed_but_judges_no_tooth():
    found = check(site("16", antagonist=None), site("17", antagonist=None))

    assert [row.sites for row in found.excursions] == [(), (), ()]
    assert [row.tooth for row in found.left_out] == ["16", "17"]
