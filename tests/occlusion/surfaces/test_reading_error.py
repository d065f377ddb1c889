"""How far off a placed tooth may stand: the closed form beside readings drawn by brute force."""

import numpy as np
import pytest

from occlusion.errors import OutOfRange
from occlusion.surfaces._reading_error import placing_error_mm, vertical_error_mm
from occlusion.surfaces.registration import NamedPoint, likely_error_mm
from tests import published
from tests.published import number

FRONT = (80.0, 0.0, -32.0)
PLACES = {
    "incisor": FRONT,
    "first_premolar": (63.0, -21.0, -32.0),
    "first_molar": (50.0, -25.0, -32.0),
    "second_molar": (35.0, -28.0, -32.0),
}
#: The points of a row by the words in its column ``points``.
LAYOUTS = {
    "front and second molars": [FRONT, (35.0, -28.0, -32.0), (35.0, 28.0, -32.0)],
    "front, first premolars and second molars": [
        *(FRONT, (63.0, -21.0, -32.0), (63.0, 21.0, -32.0)),
        *((35.0, -28.0, -32.0), (35.0, 28.0, -32.0)),
    ],
}


def drawn(points, places, *, sd, draws, seed=1):
    """Spread of x, y and z of placed teeth over many readings of both casts; nothing of the
    engine is used."""
    rng = np.random.default_rng(seed)
    points, places = np.array(points, float), np.array(places, float)
    there = points + rng.normal(0.0, sd, (draws, *points.shape))
    scan = points + rng.normal(0.0, sd, (draws, *points.shape))
    a, b = scan.mean(axis=1, keepdims=True), there.mean(axis=1, keepdims=True)
    u, _, v = np.linalg.svd(np.swapaxes(there - b, 1, 2) @ (scan - a))
    u[..., 2] *= np.sign(np.linalg.det(u) * np.linalg.det(v))[:, None]
    placed = (places - a) @ np.swapaxes(u @ v, 1, 2) + b
    return placed.std(axis=0, ddof=1)


def test_the_drawing_finds_what_is_known_of_three_points():
    # A place that is one of three points is as far off as one reading against another: sd sqrt 2;
    # their middle as far as a mean of three: sd sqrt(2 / 3).
    points = LAYOUTS["front and second molars"]
    found = drawn(points, [FRONT, (50.0, 0.0, -32.0)], sd=0.1, draws=20_000)[:, 2]

    assert found == pytest.approx([0.14142, 0.08165], rel=0.02)  # 20,000 draws: 0.5 %


@pytest.mark.parametrize("points", LAYOUTS.values(), ids=LAYOUTS)
@pytest.mark.parametrize("sd", [0.05, 0.2])
def test_the_closed_form_is_what_drawn_readings_give(points, sd):
    places = [*PLACES.values(), (20.0, 30.0, -20.0), (95.0, 10.0, -50.0)]

    found = placing_error_mm(points, places, reading_sd_mm=sd)

    assert found == pytest.approx(drawn(points, places, sd=sd, draws=20_000), rel=0.02)


def test_points_out_of_one_plane_and_places_beside_them_agree_too():
    points = [(70.0, 5.0, -20.0), (40.0, -30.0, -45.0), (30.0, 25.0, -30.0), (60.0, 20.0, -50.0)]
    places = [(80.0, -10.0, -25.0), (10.0, 40.0, -60.0)]

    found = placing_error_mm(points, places, reading_sd_mm=0.1)

    assert found == pytest.approx(drawn(points, places, sd=0.1, draws=20_000), rel=0.02)
    assert vertical_error_mm(points, places, reading_sd_mm=0.1) == pytest.approx(found[:, 2])


@published.each("registration_errors")
def test_published_and_computed_errors(row):
    found = vertical_error_mm(
        LAYOUTS[row["points"]], list(PLACES.values()), reading_sd_mm=number(row, "reading_sd_mm")
    )

    for name, error in zip(PLACES, found, strict=True):
        assert error == pytest.approx(
            number(row, f"{name}_mm"), abs=number(row, "tolerance"), rel=0.0
        )


def test_points_far_apart_are_better_than_many_close_together():
    far = vertical_error_mm(LAYOUTS["front and second molars"], [FRONT], reading_sd_mm=0.1)
    near = [(60.0 + x, y, -32.0) for x in (-5, 0, 5) for y in (-5, 0, 5)]

    assert vertical_error_mm(near, [FRONT], reading_sd_mm=0.1)[0] > 1.3 * far[0]


def test_an_error_that_nobody_reads_is_refused():
    points = [NamedPoint(str(n), p, p) for n, p in enumerate(LAYOUTS["front and second molars"])]

    with pytest.raises(OutOfRange, match="Enter 0 to 2 mm"):
        likely_error_mm(points, PLACES, reading_sd_mm=3.0)
    assert likely_error_mm(points, PLACES, reading_sd_mm=0.0)["incisor"] == 0.0
