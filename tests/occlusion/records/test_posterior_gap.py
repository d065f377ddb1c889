"""Condylar inclination from the gap behind: what comes back, how sure it is, what is refused."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion.errors import BadRequest, NoSolution, NotANumber, OutOfRange, RecordTooShort
from occlusion.records import (
    PosteriorGap,
    inclination_from_flat_rims,
    inclination_from_posterior_gap,
)
from occlusion.records.posterior_gap import _Opened
from tests import published
from tests.occlusion.bench import INCISAL, M1, M2, settings_of, symmetric, tooth
from tests.occlusion.second_opinion import Bench, Move, solve
from tests.published import number

RIGHT, LEFT = tooth(M2), tooth(M2, "left")
TEN = symmetric(30, 10)


def read(bench, advance, right=None, left=None, **rest):
    gaps = [
        PosteriorGap(point_mm=point, gap_mm=gap)
        for point, gap in ((RIGHT, right), (LEFT, left))
        if gap is not None
    ]
    return inclination_from_posterior_gap(
        settings=settings_of(bench), advance_mm=advance, gaps=gaps, **rest
    )


def codes(found):
    return [warning.code for warning in found.warnings]


# Published values


def bench_of(row):
    wing = 20 if "wings of 20" in row["id"] else 0
    return replace(
        symmetric(0, number(row, "table_deg"), wing=wing),
        inclination_right=number(row, "inclination_right_deg"),
        inclination_left=number(row, "inclination_left_deg"),
    )


@published.each("posterior_gaps")
def test_gaps_give_the_inclination_that_opened_them(row):
    unknown = replace(bench_of(row), inclination_right=50, inclination_left=50)
    found = read(
        *(unknown, number(row, "advance_mm")),
        *(number(row, "gap_right_mm"), number(row, "gap_left_mm")),
        advance_at=row["advance_at"],
    )

    for side in ("right", "left"):
        expected = number(row, f"inclination_{side}_deg")
        # 1e-4 mm of gap is 0.0025 deg at most, in these rows.
        near = number(row, "tolerance") * 25
        assert found.condylar_inclination_deg[side] == pytest.approx(expected, abs=near)
    assert found.told_apart is bool(row["gap_left_mm"])


@published.each("posterior_gaps", advance_at="condyle")
def test_a_rigid_body_opens_those_gaps(row):
    body = solve(bench_of(row), Move("protrusive", number(row, "advance_mm")))

    assert -body.moves(RIGHT)[2] == pytest.approx(number(row, "gap_right_mm"), abs=1e-4)
    if row["gap_left_mm"]:
        assert -body.moves(LEFT)[2] == pytest.approx(number(row, "gap_left_mm"), abs=1e-4)


@published.each("posterior_gap_errors")
def test_how_sure_both_sides_are_at_an_advance(row):
    # Through the parts, because a record of 2 mm is not taken.
    gaps = tuple(PosteriorGap(point_mm=point, gap_mm=0) for point in (RIGHT, LEFT))
    opened = _Opened(settings_of(TEN), number(row, "advance_mm"), gaps, "condyle")
    slopes = opened.slopes(np.array([35.0, 25.0]), apart=True)
    sds = 0.1 * np.sqrt(np.diag(np.linalg.inv(slopes.T @ slopes)))

    expected = [number(row, "sd_right_deg"), number(row, "sd_left_deg")]
    assert sds == pytest.approx(expected, abs=number(row, "tolerance"))


def test_the_answer_says_how_sure_both_sides_are():
    found = read(TEN, 5, 2.3745, 1.7791)

    assert found.sd_deg == pytest.approx({"right": 1.421, "left": 1.728}, abs=1e-3)


def test_a_tenth_of_a_millimetre_is_one_and_a_half_degrees_at_five_millimetres():
    found = read(TEN, 5, 2.0)

    assert found.mm_per_deg == pytest.approx((0.0669,), abs=1e-4)
    assert found.sd_deg == pytest.approx({"right": 1.496, "left": 1.496}, abs=1e-3)
    assert read(TEN, 5, 2.0, reading_sd_mm=0.2).sd_deg["left"] == pytest.approx(2.991, abs=2e-3)


# Round trips


@settings(max_examples=15)
@given(
    st.floats(10.0, 60.0),
    st.floats(10.0, 60.0),
    st.floats(0.0, 35.0),
    st.floats(0.0, 30.0),
    st.sampled_from(["upper", "lower"]),
    st.floats(3.0, 7.0),
)
def test_both_inclinations_come_back_from_the_gaps_of_a_rigid_body(
    right, left, table, wing, table_on, advance
):
    bench = replace(
        symmetric(0, table, wing=wing, table_on=table_on),
        inclination_right=right,
        inclination_left=left,
    )
    body = solve(bench, Move("protrusive", advance))
    gaps = [-body.moves(point)[2] for point in (RIGHT, LEFT)]
    if min(gaps) < 0.0:  # a table much steeper than a path: no gap to read
        with pytest.raises(OutOfRange):
            read(bench, advance, *gaps)
        return
    found = read(bench, advance, *gaps)

    assert found.condylar_inclination_deg == pytest.approx({"right": right, "left": left}, abs=1e-5)
    assert found.left_over_mm < 1e-8


def test_the_gap_to_a_facet_is_the_drop_less_what_the_facet_takes():
    body = solve(symmetric(35, 10), Move("protrusive", 5.0))
    x, y, z = body.moves(RIGHT)
    facet = math.tan(math.radians(15))
    gap = PosteriorGap(point_mm=RIGHT, gap_mm=-z - math.hypot(x, y) * facet, facet_deg=15)
    found = inclination_from_posterior_gap(settings=settings_of(TEN), advance_mm=5, gaps=[gap])

    assert found.condylar_inclination_deg["right"] == pytest.approx(35, abs=1e-6)


def test_the_advance_is_taken_where_it_was_read():
    # 5 mm at the condyle is 5.94 mm at the incisor with 35 deg and a table of 10.
    body = solve(symmetric(35, 10), Move("protrusive", 5.0))
    gap, incisal = -body.moves(RIGHT)[2], body.moves(INCISAL)[0]

    assert incisal == pytest.approx(5.938, abs=1e-3)
    found = read(TEN, incisal, gap, advance_at="incisor")
    assert found.condylar_inclination_deg["right"] == pytest.approx(35, abs=1e-6)
    wrong = read(TEN, incisal, gap)
    assert wrong.condylar_inclination_deg["right"] < 31


def test_angles_are_those_of_the_plane_that_the_settings_name():
    body = solve(Bench(inclination_right=35, inclination_left=35, table=10), Move("protrusive", 5))
    tilted = replace(TEN, table=3.0, tilt=7.0)  # the same table, read against a plane 7 deg down
    x, _, z = body.moves(RIGHT)
    cos, sin = math.cos(math.radians(7)), math.sin(math.radians(7))
    found = read(tilted, 5, -(cos * z + sin * x))

    assert found.condylar_inclination_deg["right"] == pytest.approx(28, abs=1e-6)


def test_a_side_alone_stands_for_both_and_says_so():
    found = read(TEN, 5, None, 2.0)

    assert found.condylar_inclination_deg["right"] == found.condylar_inclination_deg["left"]
    assert found.assumptions[0].startswith("Both condyles are taken as equally steep.")
    assert not read(TEN, 5, 2.0, 2.0).assumptions[0].startswith("Both")


def test_several_gaps_of_one_side_are_met_best_and_remarked_upon_when_they_disagree():
    body = solve(symmetric(35, 10), Move("protrusive", 5.0))
    places = (tooth(M1), RIGHT)

    def fit(*off):
        gaps = [
            PosteriorGap(point_mm=place, gap_mm=-body.moves(place)[2] + by)
            for place, by in zip(places, off, strict=True)
        ]
        return inclination_from_posterior_gap(settings=settings_of(TEN), advance_mm=5, gaps=gaps)

    assert fit(0, 0).condylar_inclination_deg["right"] == pytest.approx(35, abs=1e-6)
    assert codes(fit(0, 0)) == []
    assert codes(fit(0.5, -0.5)) == ["gaps_disagree"]


# Flat rims


@pytest.mark.parametrize(("gap", "inclination"), [(0.8933, 20), (1.3220, 30), (1.7785, 40)])
def test_the_triangle_tells_the_same_from_flat_rims(gap, inclination):
    triangle = {"height_mm": math.hypot(80, 32), "balkwill_deg": math.degrees(math.atan2(32, 80))}
    rims = inclination_from_flat_rims(separation_mm=gap, behind_mm=45, advance_mm=5, **triangle)
    body = read(symmetric(0, 0), 5, gap, advance_at="incisor")

    assert rims.condylar_inclination_deg["left"] == pytest.approx(inclination, abs=2e-3)
    assert rims.sd_deg["left"] == pytest.approx(body.sd_deg["left"], rel=1e-3)
    assert rims.mm_per_deg == pytest.approx(body.mm_per_deg, rel=1e-3)


def test_rims_that_close_or_open_too_far_have_no_solution():
    triangle = {"behind_mm": 40, "advance_mm": 5, "height_mm": 86.6025, "balkwill_deg": 20}

    with pytest.raises(NoSolution, match="0 to 75 deg can be set"):
        inclination_from_flat_rims(separation_mm=6.0, **triangle)
    with pytest.raises(RecordTooShort, match="better 5 to 6"):
        inclination_from_flat_rims(separation_mm=1, **{**triangle, "advance_mm": 2.9})


# Remarks and refusals


def test_an_advance_under_five_millimetres_is_remarked_upon_and_under_three_refused():
    assert codes(read(TEN, 4.9, 2.0)) == ["short_advance"]
    assert codes(read(TEN, 5, 2.0)) == []
    with pytest.raises(RecordTooShort, match=r"was taken 2\.9 mm forward\. Take one of 3 mm"):
        read(TEN, 2.9, 1.0)


def test_unusual_and_unlike_sides_are_remarked_upon():
    assert codes(read(TEN, 5, 2.4, 1.3)) == ["sides_differ"]
    assert codes(read(TEN, 5, 0.5)) == ["condylar_inclination_unusual"]


def test_a_gap_that_no_inclination_opens_has_no_solution_and_says_which_can_be():
    with pytest.raises(NoSolution, match=r"opens a gap of 0\.10 mm there; 0\.36 to") as caught:
        read(TEN, 5, 0.1)

    assert caught.value.limit[0] == pytest.approx(0.359, abs=1e-3)


def test_two_gaps_that_no_pair_of_inclinations_opens_have_no_solution():
    with pytest.raises(NoSolution, match="No two inclinations"):
        read(TEN, 5, 3.5, 0.1)


def test_a_long_advance_is_solved_as_far_as_paths_are_computed():
    # 15 mm forward at 75 deg would be 58 mm of path; the path ends at 25 mm, at 53 deg.
    body = solve(symmetric(45, 10), Move("protrusive", 15.0))
    found = read(TEN, 15, -body.moves(RIGHT)[2])

    assert found.condylar_inclination_deg["right"] == pytest.approx(45, abs=1e-6)


@pytest.mark.parametrize(
    ("values", "error"),
    [
        ({"gap_mm": -0.1}, OutOfRange),
        ({"gap_mm": None}, NotANumber),
        ({"gap_mm": 1, "facet_deg": 61}, OutOfRange),
        ({"gap_mm": 1, "point_mm": (1, 2)}, NotANumber),
    ],
)
def test_a_gap_that_cannot_be_read_is_refused(values, error):
    with pytest.raises(error):
        PosteriorGap(**{"point_mm": RIGHT, **values})


def test_no_gap_and_an_unknown_place_are_refused():
    with pytest.raises(BadRequest, match="No gap is given"):
        read(TEN, 5)
    with pytest.raises(BadRequest, match="Choose one of: condyle, incisor"):
        read(TEN, 5, 2.0, advance_at="chin")
