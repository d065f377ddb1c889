"""Refusals: what they carry, and that every one is a sentence to act on."""

import pytest

from occlusion import errors
from occlusion.articulator import (
    ArticulatorSettings,
    CondylarSide,
    Excursion,
    IncisalTable,
    ReferencePlane,
)
from occlusion.errors import (
    BadRequest,
    CondyleOutOfPath,
    ImpossibleGeometry,
    MixedReferencePlanes,
    NegativeTravel,
    NotANumber,
    OutOfRange,
    PinLeavesTable,
    PinUnreachable,
)
from occlusion.motion import lower_position, lower_positions
from tests.occlusion.bench import INCISAL, settings_of, symmetric


def moved(bench, *, incisal=INCISAL, travel_mm=3, kind="right", along="horizontal"):
    excursion = Excursion(kind=kind, travel_mm=travel_mm, travel_along=along)
    return lower_position(settings=settings_of(bench, incisal), excursion=excursion)


def test_a_refusal_is_a_value_error_with_field_value_limit_and_text():
    with pytest.raises(ValueError, match="Condylar inclination is 94 deg") as caught:
        CondylarSide(inclination_deg=94)

    refusal = caught.value
    assert isinstance(refusal, OutOfRange)
    assert (refusal.field, refusal.value, refusal.limit) == (
        "condylar_inclination_deg",
        94,
        (0, 75),
    )
    assert str(refusal) == refusal.text


@pytest.mark.parametrize("value", [None, "20", float("nan"), float("inf"), True, [20], 10**400])
def test_what_is_no_finite_number_is_refused_before_any_arithmetic(value):
    with pytest.raises(NotANumber):
        IncisalTable(sagittal_deg=value, mounted_on="lower")


def test_a_travel_below_zero_is_refused_in_its_own_class():
    with pytest.raises(NegativeTravel, match="Enter 0 mm or more"):
        Excursion(kind="right", travel_mm=-0.1, travel_along="path")


def test_an_incisal_point_behind_the_axis_is_impossible():
    with pytest.raises(ImpossibleGeometry, match="80 mm behind the hinge axis"):
        moved(symmetric(20, 20), incisal=(-80.0, 0.0, -32.0))


def test_a_travel_longer_than_any_condylar_path_is_refused():
    with pytest.raises(CondyleOutOfPath, match=r"43\.9 mm along its path"):
        moved(symmetric(70, 20), travel_mm=15)


def test_a_table_along_the_arc_of_the_guided_point_is_refused_within_five_degrees():
    # A point 40 forward and 20 above the axis swings along tan = 40 / 20: 63.4 deg. One below
    # the axis swings along a slope that rises forward, which no table of this model does.
    above = (40.0, 0.0, 20.0)

    assert moved(symmetric(20, 58.3, pin=None), incisal=above, travel_mm=0.1).advance_mm == 0.1
    with pytest.raises(PinLeavesTable, match=r"swings along 63\.4 deg"):
        moved(symmetric(20, 58.5, pin=None), incisal=above, travel_mm=0.1)


def test_a_pin_that_cannot_be_opened_that_far_is_refused():
    with pytest.raises(PinUnreachable, match="no turn about the hinge axis"):
        moved(symmetric(20, 5, opening=10, pin=None), incisal=(40.0, 0.0, -100.0))


def test_angles_read_against_unlike_planes_are_refused_until_converted():
    named = ReferencePlane(name="occlusal plane", tilt_deg=8)
    other = CondylarSide(inclination_deg=30, bennett_deg=10, plane=named)
    rest = {
        "intercondylar_mm": 110,
        "left": CondylarSide(inclination_deg=30, bennett_deg=10),
        "table": IncisalTable(sagittal_deg=10, mounted_on="lower"),
        "incisal_point_mm": INCISAL,
    }

    with pytest.raises(MixedReferencePlanes, match="Convert all of them to one plane"):
        ArticulatorSettings(right=other, **rest)
    converted = other.converted(read_against=named, to=ReferencePlane())
    settings = ArticulatorSettings(right=converted, **rest)

    assert settings.right.inclination_deg == pytest.approx(38.0)


def test_a_word_that_is_not_offered_is_refused_with_those_that_are():
    with pytest.raises(BadRequest, match="Choose one of: upper, lower"):
        IncisalTable(sagittal_deg=10, mounted_on="arcon")


def test_no_settings_at_all_are_refused():
    excursion = Excursion(kind="right", travel_mm=3, travel_along="path")
    with pytest.raises(errors.NoSolution, match="Give at least one"):
        lower_positions(settings=[], excursion=excursion)


def test_a_refusal_quotes_foreign_values_short_and_as_json_can_carry_them():
    refusal = OutOfRange("Too much.", field="x", value=float("inf"), limit=("a" * 500, [[1]], 2))

    assert refusal.as_dict() == {
        "error": "OutOfRange",
        "field": "x",
        "value": "inf",
        "limit": ["a" * 80 + " ...", "a list", 2],
        "text": "Too much.",
    }
