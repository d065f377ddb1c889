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
EXAMPLES = ("motion", "pin", "pin_opening", "space")


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


def agrees(got, expected):
    if isinstance(expected, dict):
        return got.keys() == expected.keys() and all(agrees(got[k], expected[k]) for k in expected)
    if isinstance(expected, list):
        return len(got) == len(expected) and all(map(agrees, got, expected))
    if isinstance(expected, float):
        return got == pytest.approx(expected, rel=0, abs=1e-6)  # mm and deg: the door's tolerance
    return got == expected


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_example_of_the_fixtures_gives_its_answer(name):
    status, out, err = run(
        name.split("_")[0], sent=(FIXTURES / f"{name}.request.json").read_bytes()
    )

    assert (status, err) == (0, "")
    assert agrees(json.loads(out), example(name, "answer"))


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
    assert answer["engine_version"] == "0.1.0"
    assert [(w["code"], sorted(w)) for w in answer["warnings"]] == [
        ("sides_differ", ["code", "source", "text"])
    ]


@pytest.mark.parametrize(
    ("words", "sent", "error", "field"),
    [
        ((), b"{}", "BadRequest", "verb"),
        (("motion", "twice"), b"{}", "BadRequest", "verb"),
        (("grind",), b"{}", "BadRequest", "verb"),
        (("clearance",), b"{}", "BadRequest", "verb"),
        (("records",), b"{}", "BadRequest", "verb"),
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
    _, _, err = run("clearance", sent=b"{}")

    assert json.loads(err)["text"] == (
        "This version has no verb 'clearance'. Use one of: motion, pin, space."
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
