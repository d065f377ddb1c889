"""Where crowns stand on the arch, and the line work that fills them."""

import re
from itertools import pairwise

import pytest

from labcases.enums import Arch
from labcases.outputs._arch_geometry import PLACES, dotting, hatching, path, rounded

# Worked out apart from this code from the same crown widths, and printed to a tenth.
DRAWN_TENTH_MM = 0.06
CENTRES_MM = {
    Arch.UPPER: [
        (4.2, 49.3),
        (11.1, 46.4),
        (16.5, 42.0),
        (20.9, 36.3),
        (24.3, 30.1),
        (27.3, 22.2),
        (29.5, 12.9),
        (30.4, 4.2),
    ],
    Arch.LOWER: [
        (2.5, 50.0),
        (7.5, 48.4),
        (12.7, 45.0),
        (17.4, 39.8),
        (21.0, 33.9),
        (24.5, 25.6),
        (27.2, 15.2),
        (28.4, 5.0),
    ],
}


def apart(one, other):
    """Say whether a line between two convex outlines keeps them apart."""
    for corners in (one, other):
        for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
            nx, ny = y1 - y0, x0 - x1
            first = [x * nx + y * ny for x, y in one]
            second = [x * nx + y * ny for x, y in other]
            if max(first) <= min(second) or max(second) <= min(first):
                return True
    return False


@pytest.mark.parametrize("arch", Arch)
def test_crowns_stand_where_their_widths_put_them_on_the_ellipse(arch):
    for place, (x, y) in zip(PLACES[arch], CENTRES_MM[arch], strict=True):
        assert place.centre[0] == pytest.approx(x, abs=DRAWN_TENTH_MM)
        assert place.centre[1] == pytest.approx(y, abs=DRAWN_TENTH_MM)


@pytest.mark.parametrize("arch", Arch)
def test_neighbouring_crowns_do_not_overlap(arch):
    left = [place.corners() for place in PLACES[arch]]
    right_central = [(-x, y) for x, y in left[0]]
    touching = [(i, j) for i, j in pairwise(range(8)) if not apart(left[i], left[j])]
    assert touching == []
    assert apart(left[0], right_central)


SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


def numbers_in(drawing):
    return [float(number) for number in re.findall(r"-?\d+\.?\d*|-?\.\d+", drawing)]


def test_a_path_names_its_points_to_a_hundredth_of_a_millimetre():
    assert path([(0.0, 1.0), (2.126, -0.001)]) == "M0 1L2.13 0"
    assert path([(0.0, 1.0), (2.0, 1.0), (2.0, 3.0)], close=True) == "M0 1L2 1L2 3z"


def test_corners_are_rounded_off_within_the_outline():
    drawing = rounded(SQUARE)

    assert drawing.count("Q") == 4
    assert drawing.endswith("z")
    assert 0 <= min(numbers_in(drawing)) <= max(numbers_in(drawing)) <= 10


@pytest.mark.parametrize("slope", [1, -1])
def test_hatching_stays_inside_its_outline_and_leans_as_told(slope):
    lines = hatching(SQUARE, slope).split("M")[1:]

    assert len(lines) > 10
    for line in lines:
        x0, y0, x1, y1 = numbers_in(line)
        assert 0 <= min(x0, y0, x1, y1) <= max(x0, y0, x1, y1) <= 10
        assert x0 + slope * y0 == pytest.approx(x1 + slope * y1, abs=0.02)


def test_dots_fill_an_outline_and_nothing_beside_it():
    dots = re.findall(r"M(-?[\d.]+) (-?[\d.]+)h", dotting(SQUARE))

    # Rows 1.6 mm apart: four of seven dots, and three of six between them.
    assert len(dots) == 4 * 7 + 3 * 6
    assert all(0 <= float(x) <= 10 and 0 <= float(y) <= 10 for x, y in dots)
