"""What of a mesh turns away from the antagonist."""

import numpy as np
import pytest

from occlusion.surfaces.heightfield import height_field, tilted_view
from occlusion.surfaces.undercut import undercut_share, undercut_warning
from tests.occlusion.surfaces import shapes


def share(soup, member="lower", view=None):
    return undercut_share(soup, height_field(soup, member=member, view=view))


def test_half_of_a_sphere_turns_away():
    assert share(shapes.sphere((0, 0, 0), 2.0)) == pytest.approx(0.5, abs=0.001)
    assert share(shapes.sphere((0, 0, 0), 2.0), "upper") == pytest.approx(0.5, abs=0.001)


def test_nothing_of_a_sheet_turns_away_until_it_is_inside_out():
    soup = shapes.grid_of(shapes.cusps([(0, 0, 0)], 30.0), (-2, 2, -2, 2), 0.2)

    assert share(soup) == 0.0
    assert share(soup[:, ::-1]) == 1.0
    assert share(soup, "upper") == 1.0


def test_the_base_of_a_model_faces_no_antagonist():
    top = shapes.grid_of(lambda x, y: 0 * x, (-2, 2, -2, 2), 0.5)
    base = top[:, ::-1] - np.array([0, 0, 12], dtype=np.float32)

    assert share(np.concatenate([top, base])) == 0.0


def test_a_tilted_view_sees_other_undercuts():
    leaning = shapes.grid_of(shapes.plane((0, 0, 0), 4.0, 0.0), (-1, 1, -1, 1), 0.1)

    # It rises forward at 76 deg: from 30 deg in front it is seen from behind.
    assert share(leaning) == 0.0
    assert share(leaning, view=tilted_view(member="lower", tilt_deg=30)) == 1.0


def test_more_than_a_twentieth_is_said():
    assert undercut_warning(0.05) is None
    assert undercut_warning(0.124).text == (
        "12 % of the scanned surface turns away from the antagonist, more than 5 %. It is filled "
        "up to the height of contour. Confirm that the scan is not inside out and that the teeth "
        "stand upright in it."
    )
