"""Which tooth stands over which: the place is read in the axes of the other member."""

import dataclasses

import numpy as np
import pytest

from occlusion.clearance.opposed import Opposed, nowhere
from occlusion.teeth import other_arch
from tests.occlusion.clearance.faces import sphere_under_ridge, where

#: The lower member goes 2 mm forward and 1 mm to the left.
AWAY = np.array([[1.0, 0, 0, 2.0], [0, 1.0, 0, 1.0], [0, 0, 1.0, 0.0], [0, 0, 0, 1.0]])


def nearest(facing, x, y):
    return int(np.argmin(np.hypot(*(facing.samples.points_mm[:, :2] - (x, y)).T)))


def test_an_upper_place_is_met_by_what_stood_behind_it_on_the_lower():
    surfaces = sphere_under_ridge()
    (facing,) = surfaces.facings

    assert surfaces.met(facing, nearest(facing, 52.0, -24.0), AWAY) == "lower 50.0 -25.0"


def test_a_lower_place_is_carried_to_what_it_meets_on_the_upper():
    surfaces = sphere_under_ridge()
    (facing,) = surfaces.facings
    lower = dataclasses.replace(facing, samples=dataclasses.replace(facing.samples, member="lower"))

    assert surfaces.met(lower, nearest(facing, 50.0, -25.0), AWAY) == "upper 52.0 -24.0"


def test_the_lower_surface_is_the_field_of_that_member():
    (facing,) = sphere_under_ridge().facings
    upside = dataclasses.replace(facing, field=dataclasses.replace(facing.field, member="upper"))

    assert Opposed((upside, facing), {}, where).lower is facing.field
    assert Opposed((upside,), {}, where).lower is None


@pytest.mark.parametrize(("member", "faces"), [("upper", "lower"), ("lower", "upper")])
def test_the_members_face_each_other(member, faces):
    assert other_arch(member) == faces
    assert nowhere(member, 1.0, 2.0) is None
