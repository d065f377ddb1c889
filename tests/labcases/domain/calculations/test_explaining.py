"""Marks of a case held against the prediction: plain inputs in, findings that can be kept out."""

import json

import pytest

from labcases.domain.calculations import (
    CannotCompute,
    compare_marks,
    explaining,
    marks_explained,
)
from labcases.enums import Movement
from occlusion.errors import OcclusionError
from tests.labcases import compared
from tests.labcases.domain.calculations.told import told

CENTRIC, RIGHT, LEFT, PROTRUSIVE = (str(one) for one in Movement)
POSTERIOR = ["17", "16", "15", "14", "24", "25", "26", "27"]


def marks(*teeth, strength=""):
    return dict.fromkeys(teeth, strength)


def compare(passes, since=None, **more):
    return compare_marks(told(passes=passes, since=since or {}, **more))


def test_a_tooth_that_alone_marks_is_set_again_and_every_tooth_has_its_row():
    # On this set-up everything parts at once, so that only a tooth that stands high marks.
    alone = {movement: marks("16") for movement in (CENTRIC, RIGHT, LEFT, PROTRUSIVE)}

    found = compare(alone)

    assert json.loads(json.dumps(found)) == found
    said = marks_explained(found)
    assert said.kind == "explained"
    assert (said.best.kind, said.best.tooth, said.best.unit) == ("denture tooth", "16", "mm")
    assert said.best.change > 0.2
    assert said.text.startswith("One change explains the marks: 16 stands ")
    assert [one.movement for one in said.movements] == [
        Movement.CENTRIC,
        Movement.PROTRUSIVE,
        Movement.RIGHT,
        Movement.LEFT,
    ]
    assert said.movements[1].unpredicted == ("16",)
    assert said.readings == 32


def test_where_the_marks_are_as_predicted_nothing_is_proposed():
    said = marks_explained(compare({CENTRIC: marks(*POSTERIOR), PROTRUSIVE: {}}))

    assert (said.kind, said.best, said.runner_up) == ("as predicted", None, None)
    assert said.movements[0].seen_contact == tuple(POSTERIOR)


def test_a_light_mark_counts_less_than_a_clear_one():
    clear, light = (
        marks_explained(
            compare({name: marks("16", strength=strength) for name in (CENTRIC, RIGHT, LEFT)})
        )
        for strength in ("heavy", "light")
    )

    assert light.best is None or light.best.sd > clear.best.sd


def test_a_tooth_of_an_opposing_denture_is_told_apart_from_those_that_are_made():
    other = {f"{q}{n}": {"material": "denture"} for q in "43" for n in "4567"}
    found = compare(
        {name: marks("16") for name in (CENTRIC, RIGHT, LEFT, PROTRUSIVE)}, opposing=other
    )

    best = marks_explained(found).best
    assert best is None or (best.kind == "denture tooth") is (best.tooth in POSTERIOR)


def test_the_kept_deviation_of_a_setting_and_the_own_teeth_are_told_to_the_engine(monkeypatch):
    asked = {}

    def stop(**told):
        asked.update(told)
        raise OcclusionError("Enough.", field="bennett_deg.left")

    monkeypatch.setattr(explaining.engine, "explain", stop)
    with pytest.raises(CannotCompute) as refused:
        compare({RIGHT: marks("16", strength="light")}, deviations={"condylar_left_sd_deg": 0.4})

    assert (refused.value.part, refused.value.field) == ("settings", "bennett_left_deg")
    reading = asked["readings"]["condylar_inclination_deg.left"]
    assert (reading.value, round(reading.sd, 2)) == (30.0, 0.4)
    assert sorted(asked["own"]) == sorted(POSTERIOR)
    assert [(one.movement, one.marks[0].strength) for one in asked["passes"]] == [
        ("right", "faint")
    ]


def test_what_was_ground_since_is_told_among_the_assumptions():
    found = compare({RIGHT: marks("16")}, since={RIGHT: ["16", "26"], LEFT: []})

    assert found["assumptions"][0] == (
        "Ground or set after the pass in right lateral: 16, 26. The marks are those from before, "
        "and the model knows nothing of what was taken off."
    )
    assert "left lateral" not in found["assumptions"][0]


@pytest.mark.parametrize(
    ("more", "part", "text"),
    [
        ({"passes": {}}, "passes", "No pass with foil is logged"),
        ({"articulator": None}, "settings", "Enter the articulator record first."),
        ({"cusp_angle_deg": None}, "teeth", "Enter the tooth selection first."),
    ],
)
def test_what_is_missing_is_refused_with_the_part_that_mends_it(more, part, text):
    asked = {**told(passes={RIGHT: marks("16")}, since={}), **more}

    with pytest.raises(CannotCompute) as refused:
        compare_marks(asked)

    assert refused.value.part == part
    assert text in str(refused.value)


def test_kept_findings_are_sorted_by_what_was_predicted_and_what_was_seen():
    said = marks_explained(compared.findings(compared.setting()))

    (right,) = said.movements
    assert right.movement == Movement.RIGHT
    assert (right.seen, right.not_seen, right.unpredicted) == (("16",), ("25",), ("17",))
    assert (right.seen_contact, right.lifted) == (("14",), ("25",))
    assert (said.best.field, said.best.value) == ("condylar_right_deg", 38.24)
