"""The verb `clearance`: callipers, scans, landmarks, probes, spreads, and refusals."""

import json
from pathlib import Path

import numpy as np
import pytest

from occlusion import door
from occlusion.errors import OcclusionError
from tests.occlusion.surfaces import shapes

ROOT = Path(__file__).resolve().parents[3]
EXAMPLE = ROOT / "fixtures" / "door" / "clearance.request.json"
BOUNDS = (44.0, 56.0, -31.0, -19.0)


def example():
    return json.loads(EXAMPLE.read_text(encoding="utf-8"))


def answer(**changes):
    request = {**example(), **changes}
    return door.answer("clearance", {k: v for k, v in request.items() if v is not ...})


def refused(**changes):
    with pytest.raises(OcclusionError) as caught:
        answer(**changes)
    return caught.value.as_dict()


def region(found, excursion=0, number=0):
    return found["excursions"][excursion]["regions"][number]


def write_stl(path, soup):
    """Binary STL: a header, the count, and for each triangle a normal, corners, two bytes."""
    kind = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    records = np.zeros(len(soup), dtype=kind)
    records["corners"] = soup
    path.write_bytes(bytes(80) + np.uint32(len(soup)).tobytes() + records.tobytes())
    return str(path)


def turned(deg):
    cos, sin = np.cos(np.radians(deg)), np.sin(np.radians(deg))
    return np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]])


@pytest.fixture
def scans(tmp_path):
    """A lower bump under an upper plane that falls forward by 20 deg and touches it."""
    slope = -np.tan(np.radians(20.0))
    normal = np.array([-slope, 0.0, 1.0]) / np.hypot(slope, 1.0)
    touch = np.array([50.0, -25.0, -38.0]) + 6.0 * normal
    bump = shapes.cap((50.0, -25.0, -38.0), 6.0)
    wide = (40.0, 64.0, -37.0, -13.0)

    def lower(x, y):
        return np.where(np.isnan(z := bump(x, y)), -38.0, z)

    low = shapes.grid_of(lower, wide, 0.2)
    up = shapes.grid_of(shapes.plane(tuple(touch), slope, 0.0), wide, 0.4)[:, ::-1]
    return low, up, tmp_path


def request_of(scans, **changes):
    low, up, folder = scans
    return {
        "calliper": ...,
        "curve": ...,
        "scheme": ...,
        "spread": ...,
        "lower_surface": write_stl(folder / "lower.stl", low),
        "upper_surface": write_stl(folder / "upper.stl", up),
        "pitch_mm": 0.2,
        "articulator": symmetric_20(),
        **changes,
    }


def symmetric_20():
    return {
        **example()["articulator"],
        "condylar_inclination_deg": {"right": 20, "left": 20},
        "incisal_table_deg": 20,
    }


def test_scans_in_articulator_axes_are_compared_where_they_stand(scans):
    regions = [{"name": "16", "centre_mm": [50, -25], "radius_mm": 6}]
    found = answer(**request_of(scans, regions=regions))

    # Matched 20/20: everything goes down 20 deg, and the plane follows.
    row = region(found)
    assert row["name"] == "16"
    assert row["state"] == "contact"
    assert abs(row["series"][-1]["min_vertical_gap_mm"]) < 0.02
    assert any("stand in articulator axes already" in text for text in found["assumptions"])


def test_scans_elsewhere_are_brought_there_by_named_points_and_settled(scans):
    low, up, _ = scans
    away, turn = np.array([7.0, -3.0, 12.0]), turned(30.0)
    moved = (low @ turn.T + away, up @ turn.T + away, scans[2])
    places = {"A": (45.0, -30.0, -37.0), "B": (58.0, -28.0, -36.0), "C": (50.0, -18.0, -37.0)}
    points = [
        {
            "name": name,
            "scan_mm": (turn @ np.array(place) + away).tolist(),
            "articulator_mm": list(place),
        }
        for name, place in places.items()
    ]
    # Three contacts need three bumps: a plane over one does not come to rest.
    said = refused(**request_of(moved, lower_landmarks=points, upper_landmarks=points))
    assert said["error"] == "NoSolution"


def test_registered_arches_answer_as_those_that_stood_there(tmp_path):
    lower, upper, bounds = shapes.two_arches(4)
    low, up = (
        shapes.grid_of(lower, bounds, 0.25),
        shapes.grid_of(upper, bounds, 0.25)[:, ::-1],
    )
    away, turn = np.array([70.0, 30.0, 5.0]), turned(-50.0)
    places = {"A": (36.0, -30.0, -33.0), "B": (58.0, -29.0, -33.0), "C": (48.0, -17.0, -33.0)}
    points = [
        {
            "name": name,
            "scan_mm": (turn @ np.array(place) + away).tolist(),
            "articulator_mm": list(place),
        }
        for name, place in places.items()
    ]
    regions = [{"name": "46", "centre_mm": [47, -24], "radius_mm": 5}]
    common = {"regions": regions, "spread": {"draws": 200, "half_width": {}}}
    there = answer(
        **request_of((low @ turn.T + away, up @ turn.T + away, tmp_path), **common)
        | {"lower_landmarks": points, "upper_landmarks": points}
    )

    row = region(there)
    assert row["series"][0]["min_vertical_gap_mm"] == pytest.approx(0.0, abs=0.05)
    assert row["spread"]["sd_mm"] > 0.05
    assert any("settled into" in text for text in there["assumptions"])
    assert any("registered by 3 points" in text for text in there["assumptions"])
    assert "settled_far" not in [warning["code"] for warning in there["warnings"]]


def test_a_scan_that_settles_far_from_its_points_is_warned_of(tmp_path):
    lower, upper, bounds = shapes.two_arches(4)
    low, up = shapes.grid_of(lower, bounds, 0.25), shapes.grid_of(upper, bounds, 0.25)[:, ::-1]
    places = {"A": (36.0, -30.0, -33.0), "B": (58.0, -29.0, -33.0), "C": (48.0, -17.0, -33.0)}

    def read(down):
        return [
            {"name": name, "scan_mm": [x, y, z], "articulator_mm": [x, y, z - down]}
            for name, (x, y, z) in places.items()
        ]

    # As they stand the arches touch nearly; each lower point is then read 1 mm too low.
    found = answer(
        **request_of((low, up, tmp_path)), lower_landmarks=read(1.0), upper_landmarks=read(0.0)
    )

    (warning,) = [one for one in found["warnings"] if one["code"] == "settled_far"]
    assert warning["text"].startswith("Settling moved the lower scan by 1.6")
    assert "likely off by 0.3" in warning["text"]


def test_without_regions_the_whole_surface_is_one_named_all(scans):
    found = answer(**request_of(scans))

    assert [row["name"] for row in found["excursions"][0]["regions"]] == ["all"]


def test_probes_are_answered_with_a_height_or_nothing(scans):
    found = answer(**request_of(scans, probes_mm=[[50, -25], [90, 0]]))

    assert found["envelope_z_mm"] == [pytest.approx(-32.0, abs=0.02), None]


def test_front_teeth_that_may_guide_lift_the_pin_and_make_the_rest_conditional():
    free = answer()
    guided = answer(front={"overjet_mm": 3, "overbite_mm": 3})

    assert not region(free)["conditional"]
    assert region(guided)["conditional"]
    assert guided["excursions"][0]["front_lift_mm"] > 1.0


def test_a_reduction_names_a_denture_tooth_or_leaves_it_to_the_dentist():
    steep = {"cusp_angle_deg": 40}
    flat = {**symmetric_20(), "incisal_table_deg": 0, "lateral_wing_deg": {"right": 0, "left": 0}}
    upper = [{"tooth": "16", "material": "natural", **steep}]
    # One millimetre over the curve: natural teeth stand where they stand.
    lower = [{"tooth": t, "material": "natural", "tip_height_mm": 1, **steep} for t in ("45", "46")]
    natural = answer(calliper={"upper": upper, "lower": lower}, articulator=flat)
    denture = answer(
        calliper={"upper": [{**upper[0], "material": "denture"}], "lower": lower}, articulator=flat
    )

    assert natural["reduction"] == [{"name": "16", "place": "46", "text": "the dentist decides"}]
    (row,) = denture["reduction"]
    assert (row["object"], row["tooth"]) == ("denture", "16")
    assert row["reduce_vertical_mm"] >= row["reduce_normal_mm"] > 0.1


def test_a_mark_that_was_seen_sets_the_height_of_its_tooth():
    mark = {"excursion": "right", "travel_mm": 1, "travel_along": "horizontal"}
    seen = {**example()["calliper"], "marks": [{"tooth": "17", **mark}]}
    right = [{"excursion": "right", "travel_mm": 2, "travel_along": "horizontal", "steps": 4}]
    found, free = (answer(calliper=one, excursions=right) for one in (seen, example()["calliper"]))

    steps = {row["travel_mm"]: row["min_vertical_gap_mm"] for row in region(found, 0, 1)["series"]}
    assert steps[1.0] == pytest.approx(0.0, abs=0.004)
    assert abs(region(free, 0, 1)["series"][2]["min_vertical_gap_mm"]) > 0.008
    assert any("Height taken from observed marks" in text for text in found["assumptions"])
    said = refused(calliper={**seen, "marks": [{"tooth": "46", **mark}]})
    assert said["field"].startswith("marks") or "marks" in said["field"]


def test_the_curve_may_stand_inside_the_callipers_too():
    inside = answer(calliper={**example()["calliper"], "curve": {"radius_mm": 90}}, curve=...)
    outside = answer(curve={"radius_mm": 90})

    assert inside["excursions"] == outside["excursions"]
    assert refused(calliper={**example()["calliper"], "curve": {}})["field"] == "curve"


def test_every_default_that_was_used_is_named():
    found = answer(pitch_mm=..., spread=..., scheme=...)
    told = " ".join(found["assumptions"])

    for words in (
        "pitch_mm is not given: 0.1",
        "contact_band_mm is not given: 0.1",
        "immediate_side_shift_mm is not given",
        "No occlusal scheme is given",
        "Reading errors are not carried through",
    ):
        assert words in told


@pytest.mark.parametrize(
    ("changes", "error", "field"),
    [
        ({"excursions": []}, "BadRequest", "excursions"),
        ({"excursions": [{"excursion": "right"}]}, "BadRequest", "excursions.0.travel_mm"),
        ({"contact_band_mm": 9}, "OutOfRange", "contact_band_mm"),
        ({"pitch_mm": 0}, "OutOfRange", "pitch_mm"),
        ({"scheme": "tripod"}, "BadRequest", "scheme"),
        ({"front": {"overjet_mm": 2}}, "BadRequest", "front.overbite_mm"),
        ({"probes_mm": [[1]]}, "BadRequest", "probes_mm.0"),
        ({"regions": []}, "BadRequest", "regions"),
        ({"calliper": ...}, "BadRequest", "calliper"),
        ({"calliper": ..., "curve": ..., "lower_surface": "a"}, "BadRequest", "upper_surface"),
        ({"lower_surface": "a"}, "BadRequest", "calliper"),
        ({"spread": {"draws": 1}}, "OutOfRange", "spread.draws"),
        ({"spread": {"draws": 20000}}, "BadRequest", "spread.draws"),
        ({"spread": {"half_width": {"luck": 1}}}, "BadRequest", "spread.half_width.luck"),
        ({"curve": {"radius_mm": 5}}, "OutOfRange", "curve.radius_mm"),
    ],
)
def test_each_refusal_names_its_key(changes, error, field):
    said = refused(**changes)

    assert (said["error"], said["field"]) == (error, field)


@pytest.mark.parametrize(
    ("tooth", "error", "field"),
    [
        ({"tooth": "56"}, "BadRequest", "calliper.upper.0.tooth"),
        ({"material": "gold"}, "BadRequest", "calliper.upper.0.material"),
        ({"cusp_angle_deg": 70}, "OutOfRange", "calliper.upper.0.cusp_angle_deg"),
        ({"md_mm": "8"}, "NotANumber", "calliper.upper.0.md_mm"),
        ({"colour": "A"}, "BadRequest", "calliper.upper.0.colour"),
    ],
)
def test_each_refusal_of_a_tooth_names_it(tooth, error, field):
    request = example()["calliper"]
    request["upper"][0].update(tooth)
    said = refused(calliper=request)

    assert said["error"] == error
    assert said["field"].startswith("calliper.upper.0")
    assert said["field"] == field


@pytest.mark.parametrize("content", [b"", b"solid\nfacet", b"\x00" * 84, b"hello" * 40])
def test_a_file_that_is_no_mesh_is_refused(tmp_path, content):
    path = tmp_path / "scan.stl"
    path.write_bytes(content)
    scan = {"calliper": ..., "curve": ..., "lower_surface": str(path), "upper_surface": str(path)}
    said = refused(**scan)

    assert said["error"] in ("OpenOrEmptyMesh", "NotANumber")
    assert said["field"] == "lower_surface"


def test_a_header_that_promises_more_than_the_file_holds_is_refused_unread(tmp_path):
    path = tmp_path / "scan.stl"
    path.write_bytes(bytes(80) + np.uint32(4_000_000_000).tobytes() + bytes(50))
    scan = {"calliper": ..., "curve": ..., "lower_surface": str(path), "upper_surface": str(path)}

    assert refused(**scan)["error"] in ("TooManyTriangles", "OpenOrEmptyMesh")
