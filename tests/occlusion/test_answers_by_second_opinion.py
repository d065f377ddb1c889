"""What leaves the engine, by the JSON door and in a clearance check, against the second opinion."""

import json
import math
import random
from pathlib import Path

import numpy as np
import pytest

from occlusion import door
from occlusion.clearance import AskedExcursion, surface_clearance
from tests.occlusion.bench import INCISAL, M1, random_bench, random_move, settings_of, tooth
from tests.occlusion.clearance.faces import MIDDLE, sphere_under_facet
from tests.occlusion.second_opinion import Bench, Move, solve

DOOR = Path(__file__).resolve().parents[2] / "fixtures" / "door"
DOOR_MM = 1e-6


def request_of(bench, move):
    """The same question as the door is asked it."""
    return {
        "articulator": {
            "intercondylar_mm": bench.intercondylar,
            "condylar_inclination_deg": {
                "right": bench.inclination_right,
                "left": bench.inclination_left,
            },
            "bennett_deg": {"right": bench.bennett_right, "left": bench.bennett_left},
            "immediate_side_shift_mm": {"right": bench.shift_right, "left": bench.shift_left},
            "incisal_table_deg": bench.table,
            "lateral_wing_deg": {"right": bench.wing_right, "left": bench.wing_left},
            "table_on": bench.table_on,
            "incisal_point_mm": list(INCISAL),
            "pin_point_mm": list(bench.pin),
            "pin_opening_mm": bench.opening,
            "reference_plane": {"name": "occlusal plane", "tilt_deg": bench.tilt},
        },
        "excursion": move.kind,
        "blend": move.blend,
        "travel_mm": move.travel,
        "travel_along": move.along,
        "points": [
            {"name": "46", "member": "lower", "mm": list(tooth(M1))},
            {"name": "16", "member": "upper", "mm": list(tooth(M1))},
        ],
    }


def test_the_door_answers_as_the_second_opinion_does():
    draw = random.Random(4)
    for _ in range(40):
        bench, move = random_bench(draw), random_move(draw)
        found = door.answer("motion", json.loads(json.dumps(request_of(bench, move))))
        expected = solve(bench, move)
        lower, upper = found["points"]
        matrix = np.array(found["transform"])

        assert matrix[:3, :3] == pytest.approx(expected.rotation, abs=DOOR_MM)
        assert matrix[:3, 3] == pytest.approx(expected.shift, abs=DOOR_MM)
        assert found["hinge_angle_deg"] == pytest.approx(expected.hinge, abs=DOOR_MM)
        assert lower["displacement_mm"] == pytest.approx(expected.moves(tooth(M1)), abs=DOOR_MM)
        assert upper["displacement_mm"] == pytest.approx(
            expected.seen_from_lower(tooth(M1)), abs=DOOR_MM
        )
        assert upper["path_angle_deg"] is None


def test_the_example_of_the_door_is_what_the_second_opinion_says():
    given = json.loads((DOOR / "motion.request.json").read_text(encoding="utf-8"))
    told = json.loads((DOOR / "motion.answer.json").read_text(encoding="utf-8"))
    settings = given["articulator"]
    bench = Bench(
        intercondylar=settings["intercondylar_mm"],
        inclination_right=settings["condylar_inclination_deg"]["right"],
        inclination_left=settings["condylar_inclination_deg"]["left"],
        bennett_right=settings["bennett_deg"]["right"],
        bennett_left=settings["bennett_deg"]["left"],
        table=settings["incisal_table_deg"],
        wing_right=settings["lateral_wing_deg"]["right"],
        wing_left=settings["lateral_wing_deg"]["left"],
        table_on=settings["table_on"],
        pin=tuple(settings["pin_point_mm"] or settings["incisal_point_mm"]),
        opening=settings["pin_opening_mm"],
    )
    expected = solve(bench, Move(given["excursion"], given["travel_mm"], given["travel_along"]))

    assert np.array(told["transform"])[:3, :3] == pytest.approx(expected.rotation, abs=DOOR_MM)
    assert len(told["points"]) == len(given["points"]) > 0
    for asked, point in zip(given["points"], told["points"], strict=True):
        seen = expected.moves if asked["member"] == "lower" else expected.seen_from_lower
        assert point["displacement_mm"] == pytest.approx(seen(asked["mm"]), abs=DOOR_MM)


def test_gaps_of_a_clearance_check_are_those_of_the_second_opinion():
    """A sphere that leaves a facet: its middle is one point, carried by the constraints alone."""
    draw = random.Random(5)
    compared = 0
    for _ in range(8):
        # Read against the axis plane, and closed: a tilt and an opening have tests of their own.
        bench = Bench(**{**vars(random_bench(draw)), "opening": 0.0, "tilt": 0.0})
        along_x, along_y = (math.tan(math.radians(draw.uniform(-25.0, 25.0))) for _ in "xy")
        asked = [
            AskedExcursion(kind=kind, travel_mm=2.0, steps=2)
            for kind in ("protrusive", "right", "left")
        ]
        found = surface_clearance(
            settings=settings_of(bench),
            asked=asked,
            surfaces=sphere_under_facet(along_x, along_y),
            exact_normals=True,
        )
        for excursion in found.excursions:
            end = solve(bench, Move(excursion.excursion, 2.0))
            dx, dy, dz = end.moves(MIDDLE)
            apart = (along_x * dx + along_y * dy - dz) / math.sqrt(1 + along_x**2 + along_y**2)

            assert excursion.regions[0].series[-1].normal_mm == pytest.approx(apart, abs=0.01)
            compared += 1

    assert compared == 8 * 3
