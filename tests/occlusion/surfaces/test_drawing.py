"""Teeth over a grid: heights, and the tooth and incline that own each cell."""

import numpy as np
import pytest

from occlusion.errors import OpenOrEmptyMesh, OutOfRange
from occlusion.surfaces.drawing import drawn, field_from, samples_from
from occlusion.surfaces.samples import INCLINES
from tests.occlusion.surfaces.crowns import cusp, form, two_cusps


def cell(drawing, x, y):
    return (
        round((x - drawing.x0_mm) / drawing.pitch_mm),
        round((y - drawing.y0_mm) / drawing.pitch_mm),
    )


@pytest.mark.parametrize("tooth", ["36", "46", "16", "26"])
def test_every_cell_has_the_height_of_the_function(tooth):
    one = two_cusps(tooth=tooth, mesial=(0.8, 0.6))
    drawing = drawn([one], member=one.member, pitch_mm=0.2)
    i, j = np.nonzero(drawing.tooth == 0)
    u, v = one.local(drawing.x0_mm + 0.2 * i, drawing.y0_mm + 0.2 * j)

    assert i.size == pytest.approx(
        one.covers(*np.meshgrid(*[np.arange(-5, 5, 0.2)] * 2)).sum(), abs=60
    )
    assert one.covers(u, v).all()
    assert drawing.z_mm[i, j] == pytest.approx(one.height(u, v), abs=1e-4)


@pytest.mark.parametrize("tooth", ["36", "46", "16", "26"])
def test_the_eight_inclines_stand_around_the_tips(tooth):
    one = two_cusps(tooth=tooth)
    drawing = drawn([one], member=one.member, pitch_mm=0.1)
    out = 1.0 if tooth[0] in "23" else -1.0

    told = {
        (mesial, buccal): INCLINES[drawing.incline[cell(drawing, 50 + mesial, out * (25 + buccal))]]
        for mesial in (1, -1)
        for buccal in (4, 1, -1, -4)
    }

    assert told == {
        (1, 4): "buccal outer mesial",
        (1, 1): "buccal inner mesial",
        (1, -1): "lingual inner mesial",
        (1, -4): "lingual outer mesial",
        (-1, 4): "buccal outer distal",
        (-1, 1): "buccal inner distal",
        (-1, -1): "lingual inner distal",
        (-1, -4): "lingual outer distal",
    }


@pytest.mark.parametrize(("number", "first"), [("36", "b"), ("26", "a")])
def test_where_two_crowns_overlap_the_one_met_first_owns_the_cell(number, first):
    low = form(cusp(z=-32.5), tooth=number)
    high = form(cusp(z=-32.0), tooth=number)
    drawing = drawn([low, high], member=low.member, pitch_mm=0.2)

    owner = drawing.tooth[cell(drawing, 50, 25)]

    assert "ab"[owner] == first


@pytest.mark.parametrize(("member", "number"), [("lower", "36"), ("upper", "26")])
def test_a_field_is_empty_past_everything_beside_the_teeth(member, number):
    field = field_from(drawn([two_cusps(tooth=number)], member=member, pitch_mm=0.2))

    _z, inside = field.at([50.0, 44.9], [25.0, 19.9])

    assert inside.tolist() == [True, False]
    assert field.member == member
    empty = field.z_mm[~field.inside]
    assert np.unique(empty).size == 1
    assert (
        empty < field.z_mm[field.inside].min()
        if member == "lower"
        else empty > field.z_mm[field.inside].max()
    ).all()


def test_samples_carry_tooth_incline_and_area():
    forms = [two_cusps(), two_cusps(tooth="46")]
    samples = samples_from(drawn(forms, member="lower", pitch_mm=0.2))

    assert samples.names == ("36", "46")
    assert samples.cell_mm2 == pytest.approx(0.04)
    left, right = samples.points_mm[samples.of("36")], samples.points_mm[samples.of("46")]
    assert left[:, 1].min() > 0 > right[:, 1].max()
    assert len(samples) == len(left) + len(right)
    assert set(samples.incline) == set(range(8))


def test_samples_and_field_of_one_pitch_have_the_same_cells():
    drawing = drawn([two_cusps()], member="lower", pitch_mm=0.2)
    samples, field = samples_from(drawing), field_from(drawing)

    assert samples.points_mm == pytest.approx(field.nodes_mm(), abs=1e-5)


def test_cells_of_both_arches_stand_on_multiples_of_the_pitch():
    drawing = drawn([form(cusp(), centre_mm=(50.03, 25.07))], member="lower", pitch_mm=0.2)

    assert drawing.x0_mm / 0.2 == pytest.approx(round(drawing.x0_mm / 0.2), abs=1e-9)
    assert drawing.y0_mm / 0.2 == pytest.approx(round(drawing.y0_mm / 0.2), abs=1e-9)


def test_an_arch_without_teeth_is_refused():
    with pytest.raises(OpenOrEmptyMesh, match="The lower arch has no teeth"):
        drawn([], member="lower", pitch_mm=0.1)


def test_a_pitch_that_no_grid_has_is_refused():
    with pytest.raises(OutOfRange, match="Pitch of the grid is 5 mm"):
        drawn([two_cusps()], member="lower", pitch_mm=5.0)
