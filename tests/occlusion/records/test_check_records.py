"""Check records: the settings that come back, how sure they are, and what is refused."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from occlusion.records.check_records import _inclination, _sideways
from occlusion.records.fit import carried_condyles
from tests import published
from tests.occlusion import strategies as some
from tests.occlusion.bench import at, moved
from tests.occlusion.records.reading import read
from tests.occlusion.records.writing import (
    EXAMPLE,
    LANDMARKS,
    carried_by_rotations,
    recorded,
    slope_deg,
    written,
)
from tests.occlusion.second_opinion import Move
from tests.published import number


def codes(found):
    return [warning.code for warning in found.warnings]


# Published values


def example():
    rows = published.table("check_record_points")
    return {
        kind: [
            tuple(number(row, f"{axis}_mm") for axis in "xyz")
            for row in rows
            if row["record"] == kind
        ]
        for kind in ("closed", "protrusive", "right", "left")
    }


def test_the_worked_example_gives_its_settings_back():
    records = example()
    found = read(records, landmarks=records.pop("closed"))

    assert found.condylar_inclination_deg == pytest.approx({"right": 35, "left": 28}, abs=0.01)
    assert found.bennett_deg == pytest.approx({"right": 8, "left": 14}, abs=0.01)
    assert found.inclination_from_lateral_deg == pytest.approx({"right": 35, "left": 28}, abs=0.01)
    assert found.travel_mm == pytest.approx({"protrusive": 5, "right": 4, "left": 4}, abs=1e-3)
    assert found.warnings == ()


@published.each("check_record_points")
def test_the_worked_example_is_what_a_rigid_body_does(row):
    place = ("incisal point", "right second molar", "left second molar").index(row["point"])
    records = {"closed": LANDMARKS, **written(EXAMPLE)}
    point = records[row["record"]][place]

    expected = [number(row, f"{axis}_mm") for axis in "xyz"]
    assert point == pytest.approx(expected, abs=number(row, "tolerance"), rel=0)


@published.each("record_spreads")
def test_the_worked_example_says_how_sure_it_is(row):
    sd = read(written(EXAMPLE)).sd_deg[row["quantity"]][row["side"]]

    assert sd == pytest.approx(number(row, "sd_deg"), abs=number(row, "tolerance"))


@published.each("check_record_errors")
def test_the_spread_of_an_angle_is_that_of_drawn_reading_errors(row):
    travel, near = number(row, "travel_mm"), number(row, "tolerance")
    body = {
        kind: carried_condyles(
            intercondylar_mm=110,
            landmarks_mm=np.array(LANDMARKS),
            moved_mm=np.array(recorded(EXAMPLE, kind, travel)),
        )
        for kind in ("protrusive", "left")
    }

    inclination = _inclination([body["protrusive"]], "right", 0.1)
    bennett, _ = _sideways([body["left"]], "right", 0.1)
    assert inclination.sd == pytest.approx(number(row, "inclination_sd_deg"), abs=near)
    assert bennett.sd == pytest.approx(number(row, "bennett_sd_deg"), abs=near)


def test_drawn_reading_errors_of_another_library_scatter_as_far_as_is_said():
    draw = np.random.default_rng(7)
    records, drawn = written(EXAMPLE, (4.0, 4.0, 4.0)), []
    for _ in range(800):
        noisy = {
            kind: np.array(points) + draw.normal(0.0, 0.1, (3, 3))
            for kind, points in records.items()
        }
        forward = carried_by_rotations(LANDMARKS, noisy["protrusive"], 55.0)
        lateral = carried_by_rotations(LANDMARKS, noisy["right"], 55.0)
        drawn.append((slope_deg(forward[0], -forward[2]), slope_deg(lateral[0], -lateral[1])))
    inclination, bennett = np.std(drawn, axis=0)

    said = read(records).sd_deg
    # 800 draws tell a standard deviation to 2.5 %.
    assert said["condylar_inclination_deg"]["left"] == pytest.approx(inclination, rel=0.09)
    assert said["bennett_deg"]["left"] == pytest.approx(bennett, rel=0.09)


def test_half_the_reading_error_is_half_the_spread():
    one, other = read(written(EXAMPLE)), read(written(EXAMPLE), reading_sd_mm=0.05)

    for angle in ("condylar_inclination_deg", "bennett_deg"):
        for side in ("right", "left"):
            assert other.sd_deg[angle][side] == pytest.approx(one.sd_deg[angle][side] / 2)


# Round trips


@settings(max_examples=30)
@given(some.benches(shift_right=0.0, shift_left=0.0), st.floats(3.0, 8.0))
def test_the_settings_of_an_articulator_come_back_from_its_records(bench, travel):
    records = {
        kind: np.array(LANDMARKS) + moved(at(bench, Move(kind, travel)), LANDMARKS)
        for kind in ("protrusive", "right", "left")
    }
    found = read(records, width=bench.intercondylar)

    inclination = {"right": bench.inclination_right, "left": bench.inclination_left}
    assert found.condylar_inclination_deg == pytest.approx(inclination, abs=1e-6)
    assert found.inclination_from_lateral_deg == pytest.approx(inclination, abs=1e-6)
    assert found.bennett_deg == pytest.approx(
        {"right": bench.bennett_right, "left": bench.bennett_left}, abs=1e-6
    )
    assert found.travel_mm == pytest.approx(dict.fromkeys(records, travel), abs=1e-9)


@settings(max_examples=8)
@given(some.benches(shift_right=0.7, shift_left=0.0, opening=0.0))
def test_two_travels_tell_side_shift_and_bennett_angle_apart(bench):
    records = {
        "left": [recorded(bench, "left", travel) for travel in (3.0, 6.0)],
        "right": [recorded(bench, "right", travel) for travel in (3.0, 4.5, 6.0)],
    }
    found = read(records, width=bench.intercondylar)

    assert found.immediate_side_shift_mm == pytest.approx({"right": 0.7, "left": 0}, abs=1e-8)
    assert found.bennett_deg == pytest.approx(
        {"right": bench.bennett_right, "left": bench.bennett_left}, abs=1e-6
    )
    assert found.travel_mm["left"] == pytest.approx(6.0, abs=1e-9)


def test_one_travel_hides_a_side_shift_in_the_bennett_angle_and_says_so():
    bench = replace(EXAMPLE, shift_left=0.5)
    found = read(written(bench))

    # (0.5 + 4 tan 14) / 4 = tan 20.5
    hidden = math.degrees(math.atan(0.5 / 4 + math.tan(math.radians(14))))
    assert found.bennett_deg["left"] == pytest.approx(hidden, abs=1e-6)
    assert found.immediate_side_shift_mm == {"right": None, "left": None}
    assert (
        "The immediate side shift of the left condyle is taken as 0: records of one travel "
        "cannot tell it from the Bennett angle."
    ) in found.assumptions


def test_the_side_shift_of_two_travels_says_how_sure_it_is():
    found = read({"right": [recorded(EXAMPLE, "right", travel) for travel in (3.0, 6.0)]})

    # By hand: a line through 3 and 6 mm at 0 is twice the first less the second.
    sd = found.side_shift_sd_mm["left"]
    one = math.radians(
        read({"right": recorded(EXAMPLE, "right", 3.0)}).sd_deg["bennett_deg"]["left"]
    )
    off_line = 3.0 * one / math.cos(math.radians(14)) ** 2
    assert sd == pytest.approx(off_line * math.hypot(2, 1), rel=0.02)
    assert found.side_shift_sd_mm["right"] is None


# What is missing


def test_without_a_protrusive_record_the_laterals_tell_the_inclination_they_lead_with():
    records = written(EXAMPLE)
    found = read({"right": records["right"], "protrusive": None})

    assert found.condylar_inclination_deg["left"] == pytest.approx(28, abs=1e-6)
    assert found.bennett_deg["left"] == pytest.approx(14, abs=1e-6)
    assert found.condylar_inclination_deg["right"] is None
    assert found.bennett_deg["right"] is None
    assert found.sd_deg["bennett_deg"]["right"] is None
    assert found.travel_mm == {
        "protrusive": None,
        "right": pytest.approx(4, abs=1e-9),
        "left": None,
    }
    assert found.assumptions[2] == (
        "There is no protrusive record: the left inclination is read from the right record, "
        "which tells it less well."
    )


def test_a_protrusive_record_alone_tells_no_bennett_angle():
    found = read({"protrusive": written(EXAMPLE)["protrusive"]})

    assert found.condylar_inclination_deg == pytest.approx({"right": 35, "left": 28}, abs=1e-6)
    assert found.bennett_deg == {"right": None, "left": None}


# Warnings


def test_records_that_differ_by_more_than_their_errors_explain_are_remarked_upon():
    # Between protrusion and the right record the left path has become 9 deg steeper.
    steeper = replace(EXAMPLE, inclination_left=37.0)
    records = {**written(EXAMPLE), "right": recorded(steeper, "right", 4.0)}
    found = read(records)

    assert codes(found) == ["records_disagree_left"]
    assert found.warnings[0].text == (
        "The protrusive record gives the left condyle 28.0 deg, the right record 37.0 deg; "
        "reading errors explain about 3.3 deg. The protrusive value is given. Take both records "
        "again."
    )
    assert found.condylar_inclination_deg["left"] == pytest.approx(28, abs=1e-6)


def test_a_difference_within_the_reading_errors_is_not():
    steeper = replace(EXAMPLE, inclination_left=33.5)
    records = {**written(EXAMPLE), "right": recorded(steeper, "right", 4.0)}

    assert codes(read(records)) == []
    assert codes(read(records, reading_sd_mm=0.02)) == ["records_disagree_left"]


def test_points_that_do_not_fit_one_body_are_remarked_upon():
    records = written(EXAMPLE)
    x, y, z = records["left"][2]
    records["left"][2] = (x, y + 1.2, z)

    assert codes(read(records)) == ["left_record_misfit"]


def test_a_deviating_protrusion_and_a_lateral_that_is_half_protrusive_are_remarked_upon():
    half = [
        tuple(np.array(point) + moved(at(EXAMPLE, Move("right", 7.0, blend=0.5)), point))
        for point in LANDMARKS
    ]
    found = read({"protrusive": half})
    assert codes(found) == ["protrusive_record_deviates"]
    assert "the jaw deviates to the right" in found.warnings[0].text
    assert "right_record_not_lateral" in codes(read({"right": half}))


def test_sides_far_apart_and_unusual_angles_are_remarked_upon():
    bench = replace(EXAMPLE, inclination_left=22.0, bennett_left=27.0)

    assert codes(read(written(bench))) == ["bennett_left_unusual", "sides_differ"]


def test_an_angle_just_below_what_can_be_set_is_given_with_the_nearest_setting():
    bench = replace(EXAMPLE, bennett_right=-3.0)
    found = read(written(bench))

    assert found.bennett_deg["right"] == pytest.approx(-3, abs=1e-6)
    assert codes(found) == ["bennett_right_beyond_setting"]
    assert found.warnings[0].text.endswith("Set 0 deg, or take the record again.")


def test_a_side_shift_below_0_is_remarked_upon():
    outward = replace(EXAMPLE, shift_left=-0.4)
    found = read({"right": [recorded(outward, "right", travel) for travel in (3.0, 6.0)]})

    assert codes(found) == ["immediate_side_shift_left_below_0"]
