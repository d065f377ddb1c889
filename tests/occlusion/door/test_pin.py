"""The verb ``pin`` of the door: what it says beside drop and back when a pin is opened."""

import json
from pathlib import Path

import pytest

from occlusion import door
from occlusion.errors import OutOfRange

FIXTURES = Path(__file__).resolve().parents[3] / "fixtures" / "door"


def opened(**more):
    request = json.loads((FIXTURES / "pin_opening.request.json").read_text(encoding="utf-8"))
    return door.answer("pin", {**request, **more})


def test_gaps_over_an_incline_are_told_beside_the_drop():
    # Pin at (95, -38), opened 0.5: 47 goes down .1840 and back .1691; tan 20 = .36397.
    second_molar = opened(incline_deg=20)["points"][2]

    assert second_molar["drop_mm"] == pytest.approx(0.18396, abs=1e-5)
    assert second_molar["gap_mm"] == pytest.approx(0.18396 + 0.16908 * 0.36397, abs=1e-5)
    assert second_molar["normal_gap_mm"] == pytest.approx(0.23070, abs=1e-5)
    assert second_molar["straight_line_mm"] == pytest.approx(0.5 * 35 / 95)


def test_without_an_incline_gaps_are_those_of_flat_surfaces_and_it_says_so():
    answer = opened()

    assert all(row["gap_mm"] == row["normal_gap_mm"] == row["drop_mm"] for row in answer["points"])
    sentence = "incline_deg is not given: gaps are those of flat surfaces."
    assert sentence in answer["assumptions"]
    assert sentence not in opened(incline_deg=0)["assumptions"]


def test_what_a_straight_pin_really_opens_stands_beside_it():
    straight = opened(opening_mm=3)["straight_pin"]

    assert straight["bench"] == "upper pin"
    assert 2.4 < straight["opening_mm"] < 2.7
    assert straight["text"].startswith("A straight pin read 3 mm on a table of 20 deg lowers")


def test_a_straight_pin_that_meets_no_table_leaves_the_rest_of_the_answer():
    request = json.loads((FIXTURES / "pin_opening.request.json").read_text(encoding="utf-8"))
    bench = {
        **request["articulator"],
        "pin_point_mm": [40, 0, 20],
        "incisal_table_deg": 60,
        "table_on": "upper",
    }
    answer = opened(articulator=bench, opening_mm=-2)

    assert answer["straight_pin"] is None
    assert answer["points"][0]["drop_mm"] < 0


def test_an_incline_no_tooth_has_is_refused_by_its_name():
    with pytest.raises(OutOfRange, match="Incline is 70 deg") as caught:
        opened(incline_deg=70)

    assert caught.value.field == "incline_deg"
