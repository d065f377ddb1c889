"""What the verb `clearance` passes on to the engine, and each number of the answer in its place."""

from types import SimpleNamespace

import numpy as np
import pytest

from occlusion.door import clearance as verb
from occlusion.door import faces
from occlusion.errors import BadRequest
from occlusion.motion import lower_position
from tests.occlusion.door.test_clearance import answer, example, request_of, scans

__all__ = ["scans"]  # a fixture


class Passed(Exception):
    """Carries what was passed on out of the verb."""


def passed(monkeypatch, where, name, **changes):
    """Arguments that a request hands to a function of the engine."""
    told = {}

    def catch(*args, **options):
        told.update(options, args=args)
        raise Passed

    monkeypatch.setattr(where, name, catch)
    with pytest.raises(Passed):
        answer(**changes)
    return told


# Questions


def test_the_check_is_asked_as_the_request_says(monkeypatch):
    one = {"excursion": "left", "blend": 0.5, "travel_mm": 2, "travel_along": "path", "steps": 7}
    told = passed(
        monkeypatch,
        verb,
        "surface_clearance",
        excursions=[one],
        contact_band_mm=0.07,
        scheme="canine",
        probes_mm=[[50, -25], [40, 20.5]],
        front={"overjet_mm": 2, "overbite_mm": 3, "facet_deg": 40},
        spread={"draws": 9, "seed": 4, "half_width": {"bennett_deg": 2}},
    )

    (asked,) = told["asked"]
    assert (asked.kind, asked.blend, asked.travel_mm) == ("left", 0.5, 2.0)
    assert (asked.travel_along, asked.steps) == ("path", 7)
    assert (told["band_mm"], told["scheme"]) == (0.07, "canine")
    assert told["probes_mm"] == [(50.0, -25.0), (40.0, 20.5)]
    assert told["exact_normals"] is True
    assert (told["front"].guided_by, told["front"].facet_deg) == ("stone teeth", 40.0)
    assert (len(told["draws"]), told["draws"].seed) == (9, 4)


def test_each_step_that_is_not_given_is_told_and_no_other():
    first, second = example()["excursions"]
    del second["steps"]
    told = [
        text for text in answer(excursions=[first, second])["assumptions"] if ".steps is" in text
    ]

    assert told == ["excursions.1.steps is not given: 30."]


def test_callipers_are_laid_out_on_the_plane_and_curve_that_are_given(monkeypatch):
    told = passed(monkeypatch, faces, "set_up", curve={"radius_mm": 90, "lowest_mm": [30, -40]})

    assert told["settings"].right.inclination_deg == 30.0
    assert told["incisal_point_mm"] == (80.0, 0.0, -32.0)
    assert (told["curve"].radius_mm, told["curve"].lowest_mm) == (90.0, (30.0, -40.0))
    assert told["marks"] == []


def test_a_curve_without_a_radius_is_the_classic_one(monkeypatch):
    told = passed(monkeypatch, faces, "set_up", curve={"lowest_mm": [30, -40]})

    assert told["curve"].radius_mm == 101.6


def test_marks_stand_for_the_position_in_which_they_were_seen(monkeypatch):
    seen = {"excursion": "right", "blend": 0.5, "travel_mm": 2, "travel_along": "path"}
    calliper = {**example()["calliper"], "marks": [{"tooth": "17", **seen}]}
    told = passed(monkeypatch, faces, "set_up", calliper=calliper)

    (mark,) = told["marks"]
    excursion = SimpleNamespace(**seen)
    expected = lower_position(
        settings=told["settings"],
        excursion=verb.Excursion(
            kind=excursion.excursion,
            blend=excursion.blend,
            travel_mm=excursion.travel_mm,
            travel_along=excursion.travel_along,
        ),
    )
    assert mark.tooth == "17"
    assert mark.transform == pytest.approx(expected.transform)
    # The leading condyle goes 2 mm along a path of 25 deg: less than that forward.
    lead = mark.transform @ [0.0, 55.0, 0.0, 1.0]
    assert np.linalg.norm(lead[:3] - [0.0, 55.0, 0.0]) == pytest.approx(2.0, abs=1e-3)


@pytest.mark.parametrize(
    ("spread", "widths"),
    [
        ({"half_width": {"cusp_angle_deg": 4}}, {"natural": 4.0, "denture": 4.0}),
        ({"half_width": {"bennett_deg": 4}}, None),
        # Cusps are read by callipers as poorly as facets.
        ({}, {"natural": 5.0, "denture": 5.0}),
        (..., None),
    ],
)
def test_errors_of_cusps_reach_all_teeth_from_callipers(monkeypatch, spread, widths):
    told = passed(monkeypatch, faces, "oppose_callipers", spread=spread, pitch_mm=0.25)

    assert (told["cusp_half_width_deg"], told["pitch_mm"]) == (widths, 0.25)


def test_regions_and_scans_are_passed_on_each_for_its_own(monkeypatch, scans):
    regions = [{"name": "16", "centre_mm": [50, -25]}]
    told = passed(
        monkeypatch, faces, "oppose_scans", **request_of(scans, regions=regions, pitch_mm=0.25)
    )

    (pair,) = told["args"]
    (region,) = told["regions"]
    assert (region.name, region.centre_mm, region.radius_mm) == ("16", (50.0, -25.0), 6.0)
    assert told["pitch_mm"] == 0.25
    # The lower scan is a bump over a floor at -38; the upper plane falls to -39 at the front.
    assert pair.lower.triangles_mm[..., 2].min() == -38.0
    assert pair.upper.triangles_mm[..., 2].min() < -36.5
    assert pair.upper.triangles_mm[..., 2].max() > -29.0
    assert pair.vertical_sd_mm == {"16": 0.0}


@pytest.mark.parametrize("key", ["curve", "lower_material"])
def test_a_key_of_the_other_kind_of_surface_is_refused(scans, key):
    """A curve lays out callipers; a material is that of a scan."""
    if key == "curve":
        request, words = request_of(scans, curve={"radius_mm": 90}), "with scans"
    else:
        request, words = {key: "denture"}, "with calliper"

    with pytest.raises(BadRequest, match=f"Key {key} has no meaning {words}"):
        answer(**request)


# Points and settling

PLACES = {"A": (45.0, -30.0, -37.0), "B": (58.0, -28.0, -36.0), "C": (50.0, -18.0, -37.0)}


def read(**off):
    """Points read as they stand but for some that are off by so much forward."""
    return [
        {
            "name": name,
            "scan_mm": [x, y, z],
            "articulator_mm": [x + off.get(name, 0.0), y, z],
        }
        for name, (x, y, z) in PLACES.items()
    ]


def settled(lower, samples, *, slide_mm, allowed):
    allowed.append(slide_mm)
    up = np.eye(4)
    up[2, 3] = 0.25
    return SimpleNamespace(
        transform=up,
        moved_mm=0.25,
        moved_at_mm=(50.0, -25.0, -32.0),
        lift_mm=0.25,
        tilt_deg=0.0,
        slide_mm=0.0,
        twist_deg=0.0,
        contacts_mm=np.zeros((3, 3)),
    )


def placed(monkeypatch, scans, *, lower, upper=None):
    """The pair that placed scans make when settling lifts by 0.25 mm, and the slide allowed."""
    allowed = []
    monkeypatch.setattr(
        faces, "settle", lambda *args, **options: settled(*args, **options, allowed=allowed)
    )
    regions = [{"name": "16", "centre_mm": [50, -25]}]
    told = passed(
        monkeypatch,
        faces,
        "oppose_scans",
        **request_of(scans, regions=regions),
        lower_landmarks=lower,
        **({} if upper is None else {"upper_landmarks": upper}),
    )
    return told["args"][0], allowed


def test_one_placed_scan_is_enough_to_settle_and_the_lower_one_moves(monkeypatch, scans):
    pair, (slide,) = placed(monkeypatch, scans, lower=read())

    assert pair.lower.triangles_mm[..., 2].min() == pytest.approx(-37.75, abs=1e-4)
    # The middle of three points is off by 0.1 sqrt(2 / 3); near it 3 of that, or a little more.
    assert 3 * 0.0816 < slide < 0.5


def test_two_placed_scans_are_likely_off_by_the_root_of_both_squares(monkeypatch, scans):
    one, (short,) = placed(monkeypatch, scans, lower=read())
    both, (long,) = placed(monkeypatch, scans, lower=read(), upper=read())

    assert both.vertical_sd_mm["16"] == pytest.approx(2**0.5 * one.vertical_sd_mm["16"])
    assert one.vertical_sd_mm["16"] == pytest.approx(0.082, abs=0.03)
    assert long == pytest.approx(min(0.5, 2**0.5 * short))


def test_a_slide_follows_the_direction_that_is_read_worse(monkeypatch, scans):
    """Points close together far behind: the middle is certain forward, and not sideways."""
    narrow = {"A": (20.0, -30.0, -37.0), "B": (30.0, -25.0, -37.0), "C": (20.0, -20.0, -36.0)}
    points = [{"name": n, "scan_mm": list(p), "articulator_mm": list(p)} for n, p in narrow.items()]
    _, (slide,) = placed(monkeypatch, scans, lower=points)

    # 29 mm in front of them by 0.1 sqrt(2 (1 / 3 + 29^2 / 117)) = 0.39 mm: three are too many.
    assert slide == 0.5


@pytest.mark.parametrize(("sd", "far"), [(0.044, True), (0.051, False)])
def test_a_way_of_three_likely_errors_is_warned_of(monkeypatch, scans, sd, far):
    """Read to 0.1 mm the place is off by 0.108, 0.110 and 0.083 mm: 0.175 mm in space."""
    real = faces.register

    def register(*args, **options):
        return real(*args, **options, reading_sd_mm=sd)

    monkeypatch.setattr(faces, "register", register)
    pair, _ = placed(monkeypatch, scans, lower=read())

    # 0.25 mm are three times that when points are read to 0.0475 mm.
    assert ("settled_far" in [one.code for one in pair.warnings]) == far


def test_points_that_fit_badly_are_named_with_the_worst_first(monkeypatch, scans):
    pair, _ = placed(monkeypatch, scans, lower=read(B=1.8))

    (sentence,) = [text for text in pair.assumptions if "registered by 3 points" in text]
    assert "most at B: " in sentence
    assert "points_fit_badly" in [one.code for one in pair.warnings]


def test_points_are_read_as_those_of_their_member_at_their_height(monkeypatch, scans):
    told = passed(
        monkeypatch,
        faces,
        "register",
        **request_of(scans, regions=[{"name": "16", "centre_mm": [50, -25]}]),
        upper_landmarks=read(),
    )

    assert (told["member"], told["field"]) == ("upper", "upper_landmarks")
    # The mean height of the points: (-37 - 36 - 37) / 3.
    assert told["at_mm"] == {"16": pytest.approx((50.0, -25.0, -36.6667), abs=1e-3)}


# Spread


def test_a_width_of_nothing_is_no_error_and_what_is_not_named_is_exact(monkeypatch):
    told = passed(
        monkeypatch,
        verb,
        "surface_clearance",
        spread={"draws": 40, "half_width": {"bennett_deg": 0, "incisal_table_deg": 2}},
    )
    drawn = told["draws"].settings

    assert np.ptp(drawn.bennett_right_deg) == 0.0
    assert np.ptp(drawn.inclination_right_deg) == 0.0
    assert 3.0 < np.ptp(drawn.table_deg) <= 4.0
    assert told["draws"].seed == 1


def test_a_facet_is_no_setting_of_a_request():
    with pytest.raises(BadRequest):
        answer(spread={"half_width": {"facet_deg": 1}})


def test_the_greatest_number_of_draws_is_allowed(monkeypatch):
    told = passed(monkeypatch, verb, "surface_clearance", spread={"draws": 10_000})

    assert len(told["draws"]) == 10_000


@pytest.mark.parametrize(
    ("spread", "said"),
    [
        ({}, ["spread.draws is not given: 1000.", "spread.seed is not given: 1."]),
        ({"draws": 7}, ["spread.seed is not given: 1."]),
        ({"draws": 7, "seed": 2}, []),
    ],
)
def test_defaults_of_a_spread_are_told_when_they_are_used(spread, said):
    told = answer(spread=spread)["assumptions"]

    assert [text for text in told if text.startswith(("spread.draws", "spread.seed"))] == said


# Answers
