"""Each number of a check under its key in the answer of the verb `clearance`."""

import pytest

from occlusion import door
from occlusion.clearance import (
    Clearance,
    Doubt,
    ExcursionClearance,
    Reduction,
    RegionClearance,
    Step,
)
from occlusion.door import clearance as verb
from occlusion.ranges import EngineWarning
from tests.occlusion.door.test_clearance import answer, example, symmetric_20

REGION = RegionClearance(
    name="16",
    role="protrusive",
    state="interference possible",
    predicted="none predicted",
    verdict="not as wanted",
    vertical_mm=0.11,
    normal_mm=0.12,
    robust_mm=0.13,
    at_mm=(1.0, 2.0, 3.0),
    at_travel_mm=0.14,
    gap_mm=0.15,
    told_at_mm=0.16,
    place="46",
    contact_area_mm2=0.17,
    doubt=Doubt(sd_mm=0.21, p05_mm=0.22, p95_mm=0.23, p_interference=0.24),
    pin_lift_mm=0.18,
    conditional=True,
    series=(Step(0.31, 0.32, 0.33),),
)
FOUND = Clearance(
    scheme=None,
    band_mm=0.1,
    excursions=(ExcursionClearance("right", 0.5, 0.41, 0.42, 0.43, 0.44, 0.45, (REGION,)),),
    reduction=(
        Reduction("16", "17", 0.51, 0.52, "buccal inner mesial", (4.0, 5.0, 6.0), "46", "left"),
        Reduction("front", "front", 0.53, 0.54, None, (4.0, 5.0, 6.0), None, "right"),
        Reduction("16", None, 0.55, 0.56, None, (4.0, 5.0, 6.0), "46", "left"),
    ),
    envelope_z_mm=(-32.5, None),
    assumptions=("Said by the engine.",),
    warnings=(EngineWarning("engine", "Warned by the engine.", "practice"),),
)


@pytest.fixture
def told(monkeypatch):
    monkeypatch.setattr(verb, "surface_clearance", lambda **_options: FOUND)
    return answer(articulator=symmetric_20())


def test_each_number_of_an_excursion_stands_under_its_key(told):
    (excursion,) = told["excursions"]
    (region,) = excursion.pop("regions")

    assert excursion == {
        "excursion": "right",
        "blend": 0.5,
        "travel_mm": 0.41,
        "pin_lift_mm": 0.42,
        "at_travel_mm": 0.43,
        "front_lift_mm": 0.44,
    }
    assert region == {
        "name": "16",
        "state": "interference possible",
        "verdict": "not as wanted",
        "min_vertical_gap_mm": 0.11,
        "min_normal_gap_mm": 0.12,
        "robust_vertical_gap_mm": 0.13,
        "at_mm": [1.0, 2.0, 3.0],
        "at_travel_mm": 0.14,
        "place": "46",
        "contact_area_mm2": 0.17,
        "pin_lift_mm": 0.18,
        "conditional": True,
        "spread": {"sd_mm": 0.21, "p05_mm": 0.22, "p95_mm": 0.23, "p_interference": 0.24},
        "series": [{"travel_mm": 0.31, "min_vertical_gap_mm": 0.32, "min_normal_gap_mm": 0.33}],
    }


def test_each_number_of_a_depth_stands_under_its_key(told):
    tooth, region, natural = told["reduction"]

    assert tooth == {
        "name": "16",
        "reduce_vertical_mm": 0.51,
        "reduce_normal_mm": 0.52,
        "incline": "buccal inner mesial",
        "object": "denture",
        "tooth": "17",
        "place": "46",
        "at_mm": [4.0, 5.0, 6.0],
        "excursion": "left",
    }
    assert (region["tooth"], region["place"], region["excursion"]) == (None, None, "right")
    assert natural == {"name": "16", "place": "46", "text": "the dentist decides"}
    assert told["envelope_z_mm"] == [-32.5, None]


def test_what_the_engine_says_follows_what_the_request_left_out(told):
    assert told["assumptions"][-1] == "Said by the engine."
    assert told["assumptions"][0].startswith("immediate_side_shift_mm is not given")
    assert told["warnings"][-1] == {
        "code": "engine",
        "text": "Warned by the engine.",
        "source": "practice",
    }


def test_unusual_settings_and_travels_are_warned_of(monkeypatch):
    monkeypatch.setattr(verb, "surface_clearance", lambda **_options: FOUND)
    steep = {**symmetric_20(), "condylar_inclination_deg": {"right": 70, "left": 20}}
    far = [{"excursion": "right", "travel_mm": 14, "travel_along": "horizontal"}]

    codes = [one["code"] for one in answer(articulator=steep)["warnings"]]
    further = [one["code"] for one in answer(articulator=steep, excursions=far)["warnings"]]

    assert [code for code in codes if "inclination" in code]
    assert [code for code in further if "travel" in code]
    assert not [code for code in codes if "travel" in code]


def test_the_door_answers_as_its_verb_does():
    assert door.answer("clearance", example())["excursions"][0]["excursion"] == "protrusive"
