"""Check records that are refused, each with the sentence that says what to do."""

from dataclasses import replace

import numpy as np
import pytest

from occlusion.errors import (
    BadRequest,
    ImpossibleGeometry,
    NotANumber,
    OutOfRange,
    RecordsDisagree,
    RecordTooShort,
    SidesLookSwapped,
)
from tests.occlusion.records.reading import read
from tests.occlusion.records.writing import EXAMPLE, LANDMARKS, recorded, written
from tests.occlusion.second_opinion import Move, solve


def refused(error, match, records, **rest):
    with pytest.raises(error, match=match or None) as caught:
        read(records, **rest)
    return caught.value


def test_a_record_under_three_millimetres_is_refused_and_one_of_three_is_not():
    said = refused(
        RecordTooShort,
        "In the left record the right condyle goes only 2.9 mm forward. Take a record of 3 mm",
        {"left": recorded(EXAMPLE, "left", 2.9)},
    )

    assert said.field == "records.left"
    assert read({"left": recorded(EXAMPLE, "left", 3.0)}).travel_mm["left"] == pytest.approx(3)
    refused(RecordTooShort, "a condyle goes only 0.0 mm", {"protrusive": LANDMARKS})


def test_in_protrusion_the_condyle_that_goes_less_far_decides():
    body = solve(EXAMPLE, Move("right", 5.0, blend=0.5))
    half = [tuple(np.array(point) + body.moves(point)) for point in LANDMARKS]

    refused(RecordTooShort, r"a condyle goes only 2\.5 mm forward", {"protrusive": half})


def test_two_travels_of_the_same_length_are_refused():
    pair = [recorded(EXAMPLE, "right", travel) for travel in (4.0, 4.5)]

    refused(RecordTooShort, "too near each other to tell side shift", {"right": pair})


def test_exchanged_lateral_records_are_refused():
    records = written(EXAMPLE)
    exchanged = {"right": records["left"], "left": records["right"]}

    said = refused(SidesLookSwapped, "carries the lower teeth 3.1 mm to the left", exchanged)
    assert said.field == "records.right"


def test_a_record_in_which_the_wrong_condyle_leads_is_refused():
    # The teeth go to the right by a shift of the whole jaw, the right condyle goes forward.
    records = [np.array(point) - [0, 6.0, 0] for point in recorded(EXAMPLE, "left", 4.0)]

    refused(
        SidesLookSwapped, "the right condyle has left the axis by 4.[0-9] mm", {"right": records}
    )


def test_y_read_to_the_other_side_in_the_records_only_is_refused():
    records = {
        kind: [(x, -y, z) for x, y, z in points] for kind, points in written(EXAMPLE).items()
    }

    refused(RecordsDisagree, "turn the jaw by 180 deg, as exchanged points", records)


def test_exchanged_points_are_refused():
    first, second, third = written(EXAMPLE)["protrusive"]

    said = refused(RecordsDisagree, "turn the jaw", {"protrusive": [first, third, second]})
    assert said.field == "records.protrusive"
    refused(RecordsDisagree, "did not move as one body", {"protrusive": [second, first, third]})


def test_an_inclination_that_no_articulator_has_is_refused():
    upward = replace(EXAMPLE, inclination_right=-20.0, inclination_left=-20.0)

    said = refused(
        RecordsDisagree,
        "right condylar inclination of -20.0 deg, which no articulator can be set to",
        {"protrusive": recorded(upward, "protrusive", 5.0)},
    )
    assert said.limit == (0, 75)


@pytest.mark.parametrize(
    ("landmarks", "error", "match"),
    [
        (LANDMARKS[:2], BadRequest, "2 landmarks are given. Give three or more"),
        (((80, 0, -32), (60, 10, -32), (40, 20, -32)), ImpossibleGeometry, "one straight line"),
        ("points", BadRequest, "not a list of points"),
        (((80, 0, -32), (35, -28, -32), (35, None, -32)), NotANumber, "landmarks_mm"),
    ],
)
def test_landmarks_that_hold_no_triangle_are_refused(landmarks, error, match):
    said = refused(error, match, {"protrusive": LANDMARKS}, landmarks=landmarks)
    assert said.field.startswith("landmarks_mm")


@pytest.mark.parametrize(
    ("records", "error", "field"),
    [
        ({}, BadRequest, "records"),
        ({"protrusive": None}, BadRequest, "records"),
        ({"backward": LANDMARKS}, BadRequest, "records.backward"),
        ({"right": LANDMARKS[:2]}, BadRequest, "records.right"),
        ({"right": []}, BadRequest, "records.right"),
        ({"left": 4}, BadRequest, "records.left"),
        ({"left": [(1, 2, 3), (1, 2, 3), (1, 2, float("nan"))]}, NotANumber, "records.left.2.z"),
        ({"left": [LANDMARKS, LANDMARKS[:2]]}, BadRequest, "records.left.1"),
        ([], BadRequest, "records"),
    ],
)
def test_records_that_cannot_be_read_are_refused_by_name(records, error, field):
    assert refused(error, "", records).field == field


def test_numbers_beyond_their_limits_are_refused():
    records = written(EXAMPLE)

    assert refused(OutOfRange, "Enter 80 to 140 mm", records, width=70).field == "intercondylar_mm"
    assert refused(OutOfRange, "", records, reading_sd_mm=-0.1).field == "reading_sd_mm"
