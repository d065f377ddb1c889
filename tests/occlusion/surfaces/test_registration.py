"""Scans placed by named points: any motion is undone, and what cannot be placed is refused."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from occlusion.errors import (
    BadRequest,
    MirroredScan,
    NoSolution,
    NotANumber,
    OutOfRange,
    SidesLookSwapped,
)
from occlusion.surfaces.meshes import Mesh
from occlusion.surfaces.registration import NamedPoint, fit, likely_error_mm, register
from tests.occlusion.surfaces import mesh_files as files

#: A front tooth, both first premolars and both second molars, on a slightly curved plane.
PLACES = {
    "front": (80.0, 0.0, -32.0),
    "14": (63.0, -21.0, -33.5),
    "24": (63.0, 21.0, -33.5),
    "17 right": (35.0, -28.0, -31.0),
    "27 left": (35.0, 28.0, -31.0),
}
THREE = ("front", "17 right", "27 left")
FLIP = np.diag([1.0, -1.0, 1.0])

#: A shell that hangs under the points, as a lower arch does; its ground is 8 mm below them.
UNDER = np.array([57.0, 0.0, -32.0])
BELOW = files.halved(*files.grid(lambda x, y: files.dome(x, y) - 10.0, cells=4)) + UNDER
LOWER = Mesh(BELOW.astype(np.float32), "lower.stl")

turns = st.builds(
    lambda q: Rotation.from_quat(q).as_matrix(),
    st.tuples(*[st.floats(-1, 1)] * 4).filter(lambda q: np.linalg.norm(q) > 0.1),
)
shifts = st.tuples(*[st.floats(-150, 150)] * 3).map(np.array)


def seen(places, turn=None, t=(0.0, 0.0, 0.0), noise=None):
    """Points whose scan was moved from where the articulator has them: scan = turn p + t."""
    moved = np.array(list(places.values())) @ (np.eye(3) if turn is None else turn).T + t
    moved = moved if noise is None else moved + noise
    return [
        NamedPoint(name, tuple(scan), place)
        for (name, place), scan in zip(places.items(), moved.tolist(), strict=True)
    ]


def three(**places):
    return {name: PLACES[name] for name in THREE} | places


# What is placed


@given(turns, shifts, st.sampled_from([3, 5]), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_any_motion_of_a_scan_is_undone_whatever_the_order_of_the_points(turn, t, count, shuffled):
    places = three() if count == 3 else PLACES
    points = seen(places, turn, t)
    shuffled.shuffle(points)
    scan = Mesh((BELOW @ turn.T + t).astype(np.float32), "scan")

    found = register(scan, points, member="lower")

    assert found.transform[:3, :3] == pytest.approx(turn.T, abs=1e-9)
    assert found.transform[:3, 3] == pytest.approx(-turn.T @ t, abs=1e-7)
    assert found.mesh.triangles_mm == pytest.approx(BELOW, abs=2e-4)  # float32 at 300 mm
    assert max(found.residual_mm.values()) < 1e-7
    assert found.warnings == ()


@given(turns, shifts, st.integers(0, 2**32 - 1))
@settings(max_examples=60, deadline=None)
def test_the_fit_is_the_one_that_scipy_finds(turn, t, seed):
    noise = np.random.default_rng(seed).normal(0.0, 0.3, (5, 3))
    points = seen(PLACES, turn, t, noise)
    scan = np.array([point.scan_mm for point in points])
    there = np.array(list(PLACES.values()))

    expected, left = Rotation.align_vectors(there - there.mean(axis=0), scan - scan.mean(axis=0))
    found = fit(points)

    assert found.transform[:3, :3] == pytest.approx(expected.as_matrix(), abs=1e-7)
    assert found.rms_mm == pytest.approx(left / np.sqrt(5.0), abs=1e-7)
    assert found.transform[:3, :3] @ scan.mean(axis=0) + found.transform[:3, 3] == pytest.approx(
        there.mean(axis=0), abs=1e-7
    )


def test_no_small_turn_or_shift_fits_better():
    noise = np.random.default_rng(3).normal(0.0, 0.2, (5, 3))
    points = seen(
        PLACES, Rotation.from_euler("xyz", [20, -70, 140], True).as_matrix(), (9, 8, 7), noise
    )
    scan = np.array([point.scan_mm for point in points])
    there = np.array(list(PLACES.values()))
    found = fit(points).transform
    placed = scan @ found[:3, :3].T + found[:3, 3]
    least = ((placed - there) ** 2).sum()

    for axis, sign in itertools.product(np.eye(3), (1e-3, -1e-3)):
        turned = (placed - UNDER) @ Rotation.from_rotvec(axis * sign).as_matrix().T
        assert ((turned + UNDER - there) ** 2).sum() > least
        assert ((placed + axis * sign - there) ** 2).sum() > least


def test_residuals_are_told_by_name_and_as_root_mean_square():
    # Two points pulled 0.3 mm apart along the line between them: half of it is left at each.
    places = {"a": (0.0, -10.0, 0.0), "b": (0.0, 10.0, 0.0), "c": (40.0, 0.0, 0.0)}
    points = seen(places)
    points[0] = replace(points[0], scan_mm=(0.0, -10.3, 0.0))
    points[1] = replace(points[1], scan_mm=(0.0, 10.3, 0.0))

    found = fit(points)

    assert found.residual_mm == pytest.approx({"a": 0.3, "b": 0.3, "c": 0.0}, abs=1e-9)
    assert found.rms_mm == pytest.approx(0.3 * np.sqrt(2 / 3), abs=1e-9)


def test_a_point_that_fits_badly_is_named_in_a_warning():
    points = seen(PLACES)
    points[1] = replace(points[1], scan_mm=(65.5, -21.0, -33.5))

    found = register(LOWER, points, member="lower")

    assert [warning.code for warning in found.warnings] == ["points_fit_badly"]
    assert "14 1." in found.warnings[0].text
    assert found.warnings[0].text.startswith("The points of lower.stl fit with ")


def test_the_moved_mesh_is_read_only_and_the_given_one_stays():
    before = LOWER.triangles_mm.copy()
    found = register(LOWER, seen(PLACES, t=(5.0, 0.0, 0.0)))

    assert not found.mesh.triangles_mm.flags.writeable
    assert found.mesh.source == "lower.stl"
    assert np.array_equal(LOWER.triangles_mm, before)
    assert found.mesh.triangles_mm[0, 0] == pytest.approx(before[0, 0] - (5, 0, 0), abs=1e-5)


def test_likely_errors_come_with_the_registration():
    found = register(LOWER, seen(three()), at_mm={"front": PLACES["front"]}, reading_sd_mm=0.05)

    assert found.likely_error_mm == pytest.approx({"front": 0.0707}, abs=5e-5)
    assert likely_error_mm(seen(three()), {}) == {}


# Mirrored scans


@given(turns, shifts)
@settings(max_examples=40, deadline=None)
def test_a_mirrored_scan_is_refused_by_points_that_lie_in_no_plane(turn, t):
    with pytest.raises(MirroredScan, match=r"with 1\.\d\d mm left, and a mirrored scan with 0\.00"):
        fit(seen(PLACES, turn @ FLIP, t))


@given(turns, shifts)
@settings(max_examples=40, deadline=None)
def test_a_mirrored_scan_of_three_points_is_refused_because_it_lies_upside_down(turn, t):
    mirrored = Mesh((BELOW @ (turn @ FLIP).T + t).astype(np.float32), "scan")

    assert register(mirrored, seen(three(), turn @ FLIP, t)).rms_mm < 1e-6
    with pytest.raises(MirroredScan, match=r"the lower scan lies 5\.8 mm on the wrong side"):
        register(mirrored, seen(three(), turn @ FLIP, t), member="lower")


def test_an_upper_scan_lies_above_its_points():
    with pytest.raises(MirroredScan, match="the upper scan"):
        register(LOWER, seen(three()), member="upper")


def test_reading_errors_of_near_coplanar_points_are_never_taken_for_a_mirror():
    rng = np.random.default_rng(11)
    flat = {name: (x, y, -32.0) for name, (x, y, _) in PLACES.items()}

    for _ in range(300):
        assert fit(seen(flat, noise=rng.normal(0.0, 0.14, (5, 3)))).rms_mm < 0.5
    assert fit(seen(flat)).rms_mm < 1e-9


# What cannot be placed


@pytest.mark.parametrize("count", [0, 1, 2])
def test_fewer_than_three_points_cannot_place_a_scan(count):
    with pytest.raises(NoSolution, match=f"{count} points cannot place a scan. Name 3 or more"):
        fit(seen(PLACES)[:count])


@pytest.mark.parametrize(("stray_mm", "fits"), [(2.9, False), (6.0, True)])
def test_points_on_one_line_tell_nothing_of_the_turn_about_it(stray_mm, fits):
    places = {"a": (80.0, 0.0, 0.0), "b": (50.0, stray_mm * 1.5, 0.0), "c": (20.0, 0.0, 0.0)}

    if fits:
        assert fit(seen(places)).rms_mm < 1e-9
    else:
        with pytest.raises(NoSolution, match=r"within 2\.\d\d mm of one line on the scan"):
            fit(seen(places))


def test_a_line_on_the_articulator_alone_is_refused_too():
    points = seen({"a": (80.0, 0.0, 0.0), "b": (50.0, 20.0, 0.0), "c": (20.0, 0.0, 0.0)})
    points[1] = replace(points[1], articulator_mm=(50.0, 0.0, 0.0))

    with pytest.raises(NoSolution, match=r"line on the articulator\. Add one to its side"):
        fit(points)


def test_a_point_read_twice_is_refused():
    places = three(again=(35.0, 28.0, -31.5))

    with pytest.raises(NoSolution, match=r"'27 left' and 'again' are 0\.50 mm apart on the scan"):
        fit(seen(places))


def test_two_points_of_one_name_are_refused():
    points = seen(PLACES)

    with pytest.raises(BadRequest, match="Two points have one name"):
        fit([*points, points[0]])


@pytest.mark.parametrize(
    ("name", "y", "words"),
    [
        ("M2 right", 28.0, "is named right and lies 28.0 mm to the left"),
        ("Left molar", -3.0, "is named left and lies 3.0 mm to the right"),
        ("16", 25.0, "is named right"),
        ("46 tip", 25.0, "is named right"),
        ("27", -25.0, "is named left"),
        ("tip of 36", -25.0, "is named left"),
    ],
)
def test_a_point_on_the_other_side_than_its_name_is_refused(name, y, words):
    places = {"front": (80.0, 0.0, -32.0), "a": (40.0, -y, -32.0), name: (40.0, y, -32.0)}

    with pytest.raises(SidesLookSwapped, match=words):
        fit(seen(places))


@pytest.mark.parametrize(
    ("name", "y"),
    [("11", 1.5), ("21", -1.5), ("bright spot", 25.0), ("right to left", 25.0), ("160", 25.0)],
)
def test_a_name_that_tells_no_side_and_a_midline_slightly_off_are_let_pass(name, y):
    places = {"front": (80.0, 9.0, -32.0), "a": (40.0, -25.0, -32.0), name: (35.0, y, -32.0)}

    assert fit(seen(places)).rms_mm < 1e-9


@pytest.mark.parametrize(
    ("scan", "there", "kind"),
    [
        ((1, 2), (1, 2, 3), NotANumber),
        ("123", (1, 2, 3), NotANumber),
        ((1, 2, float("nan")), (1, 2, 3), NotANumber),
        ((1, 2, 3), (1, None, 3), NotANumber),
        ((1, 2, 3), (1, 2, 300), OutOfRange),
        ((1, 2, 1e5), (1, 2, 3), OutOfRange),
    ],
)
def test_a_place_that_is_none_is_refused(scan, there, kind):
    with pytest.raises(kind):
        NamedPoint("16", scan, there)


def test_a_point_may_come_as_an_array_and_needs_a_name():
    assert NamedPoint("16", np.array([1.0, 2.0, 3.0]), (1, 2, 3)).scan_mm == (1.0, 2.0, 3.0)
    with pytest.raises(BadRequest, match="has no name"):
        NamedPoint(" ", (1, 2, 3), (1, 2, 3))


def test_a_member_that_there_is_not_is_refused():
    with pytest.raises(BadRequest, match="upper, lower"):
        register(LOWER, seen(three()), member="middle")
