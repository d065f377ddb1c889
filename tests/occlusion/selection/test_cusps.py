"""Cusp forms against the guidance, by rigid positions of the second opinion."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion import curves
from occlusion.errors import BadRequest, OutOfRange, SidesLookSwapped
from occlusion.selection import cusp_form, cusp_height_mm
from occlusion.selection.cusps import CUSP_ANGLES_DEG
from tests import published
from tests.occlusion.bench import M1, M2, fall_forward, settings_of, symmetric, tooth
from tests.occlusion.second_opinion import Bench, Move, solve
from tests.occlusion.strategies import benches
from tests.published import number

PLACES = {
    "16": tooth(M1),
    "17": tooth(M2),
    "26": tooth(M1, "left"),
    "27": tooth(M2, "left"),
}
MATCHED = symmetric(20, 20, bennett=15, wing=20, table_on="lower")


def advice(bench, scheme="balanced", **rest):
    rest.setdefault("places_mm", PLACES)
    rest.setdefault("half_widths", {})
    return cusp_form(settings=settings_of(bench), scheme=scheme, **rest)


def form(found, angle):
    (one,) = [each for each in found.forms if each.angle_deg == angle]
    return dict(zip(("protrusive", "working", "balancing"), one.roles, strict=True))


def by_second_opinion(bench, kind, teeth, cusp_deg):
    """Lowest and highest path angle and gap of these teeth."""
    found = solve(bench, Move(kind, 3.0))
    moves = np.array([found.moves(PLACES[name]) for name in teeth])
    across, drop = np.hypot(moves[:, 0], moves[:, 1]), -moves[:, 2]
    angles = np.degrees(np.arctan2(drop, across))
    gaps = drop - across * math.tan(math.radians(cusp_deg))
    return (angles.min(), angles.max()), (gaps.min(), gaps.max())


@published.each("cusp_angles")
def test_the_usual_cusp_angles_are_looked_at_and_say_how_they_were_read(row):
    assert CUSP_ANGLES_DEG[number(row, "cusp_angle_deg")] == row["how_read"]
    assert len(CUSP_ANGLES_DEG) == 6


@published.each("cusp_heights")
def test_a_cusp_is_as_high_as_its_angle_and_the_distance_of_the_tips_make_it(row):
    found = cusp_height_mm(
        cusp_angle_deg=number(row, "cusp_angle_deg"),
        tip_separation_mm=number(row, "tip_separation_mm"),
    )

    assert found == pytest.approx(number(row, "height_mm"), abs=number(row, "tolerance"))


@published.each("facet_gaps")
def test_on_matched_guidance_a_facet_parts_balances_or_interferes(row):
    # A 20 deg cusp, tilted to the facet of the row.
    found = form(advice(MATCHED, sagittal_tilt_deg=number(row, "facet_deg") - 20.0), 20.0)
    protrusive = found["protrusive"]

    assert protrusive.path_deg == pytest.approx((20.0, 20.0), abs=1e-6)
    assert protrusive.gap_mm == pytest.approx(
        [number(row, "gap_mm")] * 2, abs=number(row, "tolerance")
    )
    expected = {15.0: "parts", 20.0: "in balance", 25.0: "interferes"}
    assert protrusive.fit == expected[number(row, "facet_deg")]


@settings(max_examples=10, deadline=None)
@given(benches(tilt=0.0), st.sampled_from([0.0, 10.0, 20.0, 33.0]))
def test_path_angles_and_gaps_are_those_of_the_second_opinion(bench, cusp):
    bench = replace(bench, opening=0.0)
    found = form(advice(bench), cusp)
    right = by_second_opinion(bench, "right", ("16", "17"), cusp)
    left = by_second_opinion(bench, "left", ("26", "27"), cusp)
    working = [(min(a[0], b[0]), max(a[1], b[1])) for a, b in zip(right, left, strict=True)]
    right = by_second_opinion(bench, "right", ("26", "27"), cusp)
    left = by_second_opinion(bench, "left", ("16", "17"), cusp)
    balancing = [(min(a[0], b[0]), max(a[1], b[1])) for a, b in zip(right, left, strict=True)]
    protrusive = by_second_opinion(bench, "protrusive", tuple(PLACES), cusp)

    for role, expected in (
        ("protrusive", protrusive),
        ("working", working),
        ("balancing", balancing),
    ):
        assert found[role].path_deg == pytest.approx(expected[0], abs=1e-7)
        assert found[role].gap_mm == pytest.approx(expected[1], abs=1e-9)


def test_the_protrusive_path_starts_on_the_exact_one_of_the_sagittal_plane():
    # 30/10 on a triangle with the incisal point at its front: 30 and 45 mm behind it.
    height, balkwill = math.hypot(80.0, 32.0), math.degrees(math.atan2(32.0, 80.0))
    found = form(advice(symmetric(30, 10, table_on="lower"), travel_mm=0.01), 20.0)["protrusive"]
    start = [
        curves.path_angle_exact_deg(
            condylar_inclination_deg=30,
            incisal_table_deg=10,
            behind_mm=behind,
            height_mm=height,
            balkwill_deg=balkwill,
        )
        for behind in (30.0, 45.0)
    ]

    assert found.path_deg == pytest.approx(start, abs=0.01)


def test_balanced_matched_guidance_takes_20_deg_cusps_in_protrusion_and_working():
    found = advice(MATCHED)
    twenty = form(found, 20.0)

    assert [twenty[role].fit for role in twenty] == ["in balance", "in balance", "parts"]
    assert [twenty[role].verdict for role in twenty] == [
        *("as wanted", "as wanted", "not as wanted")
    ]
    assert found.balanced_deg is None
    assert found.sentences[0].startswith("None of the usual cusp angles can be balanced")
    assert "0, 10, 20, 22, 30, 33 deg" in found.sentences[1]


def test_a_lateral_tilt_steepens_balancing_and_flattens_working_inclines():
    found = form(advice(MATCHED, lateral_tilt_deg=5.0, sagittal_tilt_deg=2.0), 20.0)

    assert {role: one.effective_deg for role, one in found.items()} == {
        "protrusive": 22.0,
        "working": 15.0,
        "balancing": 25.0,
    }
    assert found["balancing"].fit == "in balance"
    assert found["working"].fit == "parts"


@pytest.mark.parametrize(
    ("scheme", "cusp", "expected"),
    [
        ("balanced", 0.0, ["not as wanted"] * 3),
        ("lingualised", 0.0, ["not as wanted"] * 3),
        ("group", 0.0, ["scheme silent", "not as wanted", "as wanted"]),
        ("canine", 0.0, ["as wanted"] * 3),
        ("canine", 20.0, ["not as wanted", "not as wanted", "as wanted"]),
        ("flat", 0.0, ["scheme silent"] * 3),
        ("flat", 33.0, ["not as wanted"] * 3),
        ("canine", 33.0, ["not as wanted"] * 3),
    ],
)
def test_the_verdict_follows_the_scheme_and_no_scheme_wants_an_interference(scheme, cusp, expected):
    found = form(advice(MATCHED, scheme), cusp)

    assert [one.verdict for one in found.values()] == expected


def test_reading_errors_widen_the_ranges_and_leave_some_forms_in_doubt():
    exact = form(advice(MATCHED), 22.0)["protrusive"]
    read = form(advice(MATCHED, half_widths=None), 22.0)["protrusive"]
    pin_only = form(advice(MATCHED, half_widths={"pin_opening_mm": 1.0, "facet_deg": 5.0}), 22.0)

    assert read.gap_mm[0] < exact.gap_mm[0] <= exact.gap_mm[1] < read.gap_mm[1]
    assert (exact.fit, read.fit, read.verdict) == ("in balance", "in doubt", "in doubt")
    assert pin_only["protrusive"].gap_mm == exact.gap_mm


def test_the_reach_of_a_reading_error_is_its_slope_times_1_6449_deviations():
    # Matched guidance, second molar: the path turns with the table by 0.0245 mm/deg at 3 mm;
    # here by the second opinion, one degree on.
    widths = {"incisal_table_deg": 3.0}
    found = form(advice(MATCHED, half_widths=widths, places_mm={"17": PLACES["17"]}), 20.0)
    low, high = found["protrusive"].gap_mm
    one = by_second_opinion(MATCHED, "protrusive", ("17",), 20.0)[1][0]
    other = by_second_opinion(replace(MATCHED, table=21.0), "protrusive", ("17",), 20.0)[1][0]

    expected = 1.6449 * 3.0 / math.sqrt(3.0) * abs(other - one)
    assert (high - low) / 2.0 == pytest.approx(expected, rel=1e-6)
    assert (high + low) / 2.0 == pytest.approx(one, abs=1e-9)


def test_angles_are_meant_against_the_reference_plane_whichever_way_it_lies():
    # Everything turned forward by 12 deg, the plane with it: nothing about the teeth changes.
    level = replace(MATCHED, table=25.0, wing_left=10.0)
    fallen = replace(level, tilt=12.0, pin=tuple(fall_forward(level.pin, 12.0)))
    places = {name: tuple(fall_forward(place, 12.0)) for name, place in PLACES.items()}
    # 3 mm along the plane, on a 20 deg path, are so much along the axes.
    tilt = math.radians(12.0)
    travel = 3.0 * (math.cos(tilt) - math.tan(math.radians(20.0)) * math.sin(tilt))
    for angle in (0.0, 22.0):
        one, other = (
            form(advice(level), angle),
            form(advice(fallen, places_mm=places, travel_mm=travel), angle),
        )
        for role in ("protrusive", "working", "balancing"):
            assert other[role].path_deg == pytest.approx(one[role].path_deg, abs=1e-6)
            assert other[role].gap_mm == pytest.approx(one[role].gap_mm, abs=1e-6)


def test_an_opened_pin_is_taken_as_closed():
    opened, closed = (advice(replace(MATCHED, opening=opening)) for opening in (3.0, 0.0))

    assert opened == closed
    assert "The pin at zero: an opened pin is a temporary aid." in opened.assumptions


def test_sentences_tell_ranges_and_what_to_compare():
    found = advice(symmetric(40, 30, bennett=15, wing=20, table_on="lower"), "lingualised")
    words = " ".join(found.sentences)

    assert found.forms[0].sentence.startswith("0 deg, no cusps. Protrusive: flatter, a gap of ")
    assert found.forms[-1].sentence.startswith("33 deg, 1.62 mm high. Protrusive: ")
    assert "compare the lower incline" in words
    assert "the dentist decides" in words
    assert "teeth without cusps" in " ".join(advice(MATCHED, "flat").sentences)
    assert "grind" not in words


def test_a_steeper_cusp_never_leaves_a_larger_gap():
    found = advice(MATCHED)

    for role in range(3):
        highs = [one.roles[role].gap_mm[1] for one in found.forms]
        assert highs == sorted(highs, reverse=True)


def test_without_places_the_molars_are_laid_out_and_it_is_said():
    found = advice(MATCHED, places_mm=None)

    assert any("laid out from the incisal point" in one for one in found.assumptions)
    assert not any("laid out" in one for one in advice(MATCHED).assumptions)


def test_a_single_side_has_its_roles_too():
    found = advice(
        Bench(inclination_right=30, inclination_left=30, table=20), places_mm={"16": PLACES["16"]}
    )

    assert len(found.forms[0].roles) == 3


def test_what_is_no_back_tooth_or_stands_on_the_other_side_is_refused():
    with pytest.raises(BadRequest, match="has no cusp form"):
        advice(MATCHED, places_mm={"13": tooth(M1)})
    with pytest.raises(SidesLookSwapped):
        advice(MATCHED, places_mm={"16": tooth(M1, "left")})
    with pytest.raises(BadRequest, match="Give at least one"):
        advice(MATCHED, places_mm={})
    with pytest.raises(BadRequest, match="Choose one of"):
        advice(MATCHED, "free")
    with pytest.raises(OutOfRange):
        cusp_height_mm(cusp_angle_deg=61.0, tip_separation_mm=5.0)
