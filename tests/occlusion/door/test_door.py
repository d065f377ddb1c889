"""The JSON door, run as its users run it: one process, one request."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from occlusion import door
from occlusion.errors import OcclusionError

ROOT = Path(__file__).resolve().parents[3]
FIXTURES = ROOT / "fixtures" / "door"
EXAMPLES = ("clearance", "motion", "pin", "pin_opening", "records", "space")


def run(*words, sent=b""):
    """Status, standard output and standard error of one run."""
    done = subprocess.run(
        [sys.executable, "-m", "occlusion", *words], input=sent, capture_output=True, cwd=ROOT
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def example(name, kind="request"):
    return json.loads((FIXTURES / f"{name}.{kind}.json").read_text(encoding="utf-8"))


def refused(verb, request):
    with pytest.raises(OcclusionError) as caught:
        door.answer(verb, request)
    return caught.value.as_dict()


def changed(name, **values):
    """An example request with some keys of its own or of its articulator replaced."""
    request = example(name)
    inner = request.get("articulator", {})
    for key, value in values.items():
        (inner if key in inner else request)[key] = value
    return request


#: The door's tolerance in mm and deg. Surfaces are kept in single precision, and draws of them
#: count whole cells, so that another machine may differ in the last digits shown.
TOLERANCE = {"clearance": 2e-3}


def agrees(got, expected, tolerance=1e-6):
    if isinstance(expected, dict):
        return got.keys() == expected.keys() and all(
            agrees(got[k], expected[k], tolerance) for k in expected
        )
    if isinstance(expected, list):
        return len(got) == len(expected) and all(
            agrees(one, other, tolerance) for one, other in zip(got, expected, strict=True)
        )
    if isinstance(expected, float):
        return got == pytest.approx(expected, rel=0, abs=tolerance)
    return got == expected


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_example_of_the_fixtures_gives_its_answer(name):
    status, out, err = run(
        name.split("_")[0], sent=(FIXTURES / f"{name}.request.json").read_bytes()
    )

    assert (status, err) == (0, "")
    assert agrees(json.loads(out), example(name, "answer"), TOLERANCE.get(name, 1e-6))


def test_every_example_in_the_folder_is_run():
    assert {path.name.split(".")[0] for path in FIXTURES.iterdir()} == set(EXAMPLES)


def test_motion_answers_what_the_worked_example_says():
    # Right excursion, 3 mm, table on the upper member: worked by two independent methods.
    answer = door.answer("motion", example("motion"))

    assert answer["hinge_angle_deg"] == pytest.approx(0.5565, abs=1e-4)
    assert answer["points"][0]["displacement_mm"] == pytest.approx(
        [1.1444, -3.2028, -1.4724], abs=1e-4
    )
    assert answer["points"][3]["displacement_mm"] == pytest.approx(
        [-0.5483, 2.3446, 0.8877], abs=1e-4
    )
    assert answer["points"][3]["path_angle_deg"] is None


def test_a_point_that_has_not_moved_has_no_path_angle():
    answer = door.answer("motion", changed("motion", travel_mm=0))

    assert [point["path_angle_deg"] for point in answer["points"]] == [None] * 4


def test_every_default_used_is_named_in_the_assumptions():
    request = changed("motion")
    for key in ("immediate_side_shift_mm", "pin_point_mm", "pin_opening_mm", "reference_plane"):
        del request["articulator"][key]
    del request["blend"]

    assumptions = door.answer("motion", request)["assumptions"]

    assert assumptions[:5] == [
        "immediate_side_shift_mm is not given: 0 mm on both sides.",
        "pin_point_mm is not given: the pin stands at the incisal point.",
        "pin_opening_mm is not given: 0 mm.",
        "reference_plane is not given: the axis plane, without tilt.",
        "blend is not given: 0, the excursion itself.",
    ]


def test_the_answer_carries_version_and_warnings():
    request = changed("motion", condylar_inclination_deg={"right": 40, "left": 25})
    status, out, _ = run("motion", sent=json.dumps(request).encode())
    answer = json.loads(out)

    assert status == 0
    assert answer["engine_version"] == "0.2.0"
    assert [(w["code"], sorted(w)) for w in answer["warnings"]] == [
        ("sides_differ", ["code", "source", "text"])
    ]


@pytest.mark.parametrize(
    ("words", "sent", "error", "field"),
    [
        ((), b"{}", "BadRequest", "verb"),
        (("motion", "twice"), b"{}", "BadRequest", "verb"),
        (("grind",), b"{}", "BadRequest", "verb"),
        (("grinding",), b"{}", "BadRequest", "verb"),
        (("motion",), b"", "BadRequest", None),
        (("motion",), b"not json", "BadRequest", None),
        (("motion",), b"\xff\xfe{}", "BadRequest", None),
        (("motion",), b"[" * 100_000, "BadRequest", None),
        (("motion",), b"9" * 10_000, "BadRequest", None),
        (("motion",), b"[]", "BadRequest", None),
        (("motion",), b"null", "BadRequest", None),
        (("space",), b'{"sites": [], "sites": []}', "BadRequest", "sites"),
        (("pin",), b'{"pin_point_mm": [80, 0, -32]}', "BadRequest", "lower_rim_z_mm"),
        (
            ("pin",),
            b'{"pin_point_mm": [NaN, 0, -32], "lower_rim_z_mm": -32, "upper_tips_mm": []}',
            "NotANumber",
            "pin_point_mm.x",
        ),
        (
            ("pin",),
            b'{"pin_point_mm": [80, 0, -32], "lower_rim_z_mm": 1e999, "upper_tips_mm": []}',
            "NotANumber",
            "lower_rim_z_mm",
        ),
    ],
)
def test_a_refused_run_prints_one_object_on_standard_error_and_nothing_else(
    words, sent, error, field
):
    status, out, err = run(*words, sent=sent)
    said = json.loads(err)

    assert (status, out) == (2, "")
    assert list(said) == ["error", "field", "value", "limit", "text"]
    assert (said["error"], said["field"]) == (error, field)
    assert said["text"].endswith(".")


def test_a_verb_of_a_later_version_is_refused_with_those_of_this_one():
    _, _, err = run("grinding", sent=b"{}")

    assert json.loads(err)["text"] == (
        "This version has no verb 'grinding'. Use one of: motion, clearance, pin, records, space."
    )


@pytest.mark.parametrize("value", [None, True, "35", [35], {}, float("nan"), float("-inf")])
def test_only_finite_numbers_are_numbers(value):
    said = refused(
        "motion", changed("motion", condylar_inclination_deg={"right": value, "left": 25})
    )

    assert said["error"] == "NotANumber"
    assert said["field"] == "articulator.condylar_inclination_deg.right"


def test_a_number_beyond_all_bounds_is_refused_not_overflowed():
    said = refused("motion", changed("motion", incisal_table_deg=10**400))

    assert (said["error"], said["value"]) == ("NotANumber", "a whole number of 1329 bits")


def test_a_value_outside_its_limits_is_refused_with_value_limit_and_next_step():
    said = refused("motion", changed("motion", condylar_inclination_deg={"right": 94, "left": 25}))

    assert said == {
        "error": "OutOfRange",
        "field": "articulator.condylar_inclination_deg.right",
        "value": 94.0,
        "limit": [0, 75],
        "text": "Right condylar inclination is 94 deg. Enter 0 to 75 deg, read against the plane "
        "named in the record.",
    }


@pytest.mark.parametrize(
    ("values", "error"),
    [
        ({"travel_mm": -1}, "NegativeTravel"),
        ({"travel_mm": 16}, "OutOfRange"),
        (
            {"travel_mm": 15, "condylar_inclination_deg": {"right": 70, "left": 70}},
            "CondyleOutOfPath",
        ),
        ({"incisal_point_mm": [-80, 0, -32]}, "ImpossibleGeometry"),
        ({"incisal_point_mm": [40, 0, 20]}, "PinLeavesTable"),
        ({"incisal_point_mm": [40, 0, -100], "pin_opening_mm": 10}, "PinUnreachable"),
        ({"points": [{"name": "16", "member": "upper", "mm": [50, 25, -32]}]}, "SidesLookSwapped"),
        ({"excursion": "retrusive"}, "BadRequest"),
        ({"excursion": "protrusive", "blend": 0.5}, "BadRequest"),
        ({"table_on": "both"}, "BadRequest"),
        ({"points": [{"name": "", "member": "upper", "mm": [50, 25, -32]}]}, "BadRequest"),
        ({"points": [{"name": "x", "member": "upper", "mm": [50, 25]}]}, "NotANumber"),
        ({"points": [{"name": "x", "member": "upper", "mm": [50, 25, 999]}]}, "OutOfRange"),
        ({"points": {}}, "BadRequest"),
        ({"surplus": 1}, "BadRequest"),
    ],
)
def test_each_refusal_of_a_motion_has_its_class(values, error):
    if values.get("incisal_point_mm") == [40, 0, 20]:
        values = {**values, "incisal_table_deg": 60}  # its arc stands at 63.4 deg

    assert refused("motion", changed("motion", **values))["error"] == error


def test_an_unknown_key_deep_inside_is_named_with_its_place():
    request = changed("motion")
    request["articulator"]["bennett_deg"]["both"] = 10

    said = refused("motion", request)

    assert said["field"] == "articulator.bennett_deg.both"
    assert "Use only: right, left" in said["text"]


def test_opening_the_pin_moves_lower_points_only():
    request = changed("pin_opening")
    request["points"][0]["member"] = "upper"

    assert refused("pin", request)["field"] == "points.0.member"


def test_points_of_one_name_are_all_answered():
    request = changed("pin_opening")
    request["points"] = [request["points"][0], {**request["points"][2], "name": "41"}]
    request["points"][1]["mm"] = [35, -28, -32]

    drops = [row["drop_mm"] for row in door.answer("pin", request)["points"]]

    assert drops == pytest.approx([0.4211, 0.1840], abs=1e-4)


def test_a_refused_site_is_named_by_its_place_in_the_request():
    request = example("space")
    request["sites"][2]["base_min_mm"] = 11

    said = refused("space", request)

    assert (said["error"], said["field"]) == ("OutOfRange", "sites.2.base_min_mm")


def test_records_answer_what_the_worked_example_says():
    # Inclination 35 right and 28 left, Bennett 8 and 14: coordinates are rounded to 1e-4 mm.
    answer = door.answer("records", example("records"))

    assert answer["condylar_inclination_deg"] == pytest.approx({"right": 35, "left": 28}, abs=0.01)
    assert answer["bennett_deg"] == pytest.approx({"right": 8, "left": 14}, abs=0.01)
    assert answer["travel_mm"] == pytest.approx({"protrusive": 5, "right": 4, "left": 4}, abs=0.01)
    assert answer["sd_deg"]["bennett_deg"]["left"] == pytest.approx(2.07, abs=0.01)


def test_what_no_record_tells_is_null_and_the_default_error_is_named():
    request = example("records")
    del request["records"]["protrusive"], request["records"]["left"], request["reading_sd_mm"]
    answer = json.loads(json.dumps(door.answer("records", request), allow_nan=False))

    assert answer["condylar_inclination_deg"]["right"] is None
    assert answer["bennett_deg"]["right"] is None
    assert answer["sd_deg"]["bennett_deg"]["right"] is None
    assert answer["travel_mm"]["protrusive"] is None
    assert answer["bennett_deg"]["left"] == pytest.approx(14, abs=0.01)
    assert answer["assumptions"][0] == "reading_sd_mm is not given: 0.1 mm."


@pytest.mark.parametrize(
    ("values", "error", "field"),
    [
        ({"records": []}, "BadRequest", "records"),
        ({"records": {}}, "BadRequest", "records"),
        ({"records": {"backward": []}}, "BadRequest", "records.backward"),
        ({"records": {"right": "here"}}, "BadRequest", "records.right"),
        ({"records": {"right": [[[[1]]]]}}, "BadRequest", "records.right.0"),
        ({"landmarks_mm": {}}, "BadRequest", "landmarks_mm"),
        ({"landmarks_mm": [[80, 0, -32]]}, "BadRequest", "landmarks_mm"),
        ({"landmarks_mm": [[80, 0, -32]] * 3}, "ImpossibleGeometry", "landmarks_mm"),
        ({"landmarks_mm": [[80, 0, "low"]] * 3}, "NotANumber", "landmarks_mm.0.z"),
        ({"intercondylar_mm": 79}, "OutOfRange", "intercondylar_mm"),
        ({"reading_sd_mm": None}, "NotANumber", "reading_sd_mm"),
        ({"articulator": {}}, "BadRequest", "articulator"),
    ],
)
def test_records_that_cannot_be_read_are_refused(values, error, field):
    said = refused("records", {**example("records"), **values})

    assert (said["error"], said["field"]) == (error, field)


def test_exchanged_short_and_broken_records_are_refused_each_by_its_class():
    request = example("records")
    told = request["records"]
    closed = request["landmarks_mm"]
    exchanged = {"right": told["left"], "left": told["right"]}
    for records, error in (
        (exchanged, "SidesLookSwapped"),
        ({"protrusive": closed}, "RecordTooShort"),
        ({"protrusive": told["protrusive"][::-1]}, "RecordsDisagree"),
    ):
        assert refused("records", {**request, "records": records})["error"] == error


def test_the_door_needs_no_django():
    code = (
        "import runpy, sys\n"
        "sys.argv = ['occlusion', 'none']\n"
        "try:\n    runpy.run_module('occlusion', run_name='__main__')\n"
        "except SystemExit:\n    pass\n"
        "print([name for name in sys.modules if name.split('.')[0] in ('django', 'labcases')])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, cwd=ROOT, text=True)

    assert done.stdout.strip() == "[]"
