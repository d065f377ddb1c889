"""The tooth selection takes a cusp angle within the engine's limits and leaves the rest free."""

import pytest
from django.http import QueryDict

from labcases.forms.teeth import SelectionForm, with_taken
from labcases.models import ToothSelection

# Checking a row asks the database about its limits.
pytestmark = pytest.mark.django_db


def form(query: str) -> SelectionForm:
    return SelectionForm(QueryDict(query), instance=ToothSelection())


def test_a_selection_needs_only_the_cusp_angle():
    assert form("cusp_angle_deg=20").is_valid()
    assert form("").errors == {"cusp_angle_deg": ["Cusp angle: enter a number."]}


def test_a_cusp_angle_outside_the_limits_is_refused():
    assert form("cusp_angle_deg=61").errors == {
        "cusp_angle_deg": ["Cusp angle is 61 deg. Enter 0 to 60 deg."]
    }


def test_a_mould_longer_than_its_column_is_refused():
    assert "anterior_mould" in form(f"cusp_angle_deg=20&anterior_mould={'x' * 81}").errors


def test_every_measured_number_has_a_limit():
    measured = {name for name in SelectionForm.Meta.fields if name.endswith(("_mm", "_deg"))}

    assert measured == {*SelectionForm.limits, *SelectionForm.bounds}


@pytest.mark.parametrize(
    ("take", "name", "value"),
    [
        ("cusp_angle_deg=22", "cusp_angle_deg", "22"),
        ("front_six_mm=46.2", "front_six_mm", "46.2"),
        ("material=composite", "material", "composite"),
    ],
)
def test_a_proposal_goes_into_its_box_and_nothing_else_changes(take, name, value):
    typed = QueryDict("shade=B2&cusp_angle_deg=20&anterior_mould=T-1")

    data, taken = with_taken(typed, take)

    assert (taken, data[name]) == (name, value)
    assert (data["shade"], data["anterior_mould"]) == ("B2", "T-1")
    assert typed["cusp_angle_deg"] == "20"


@pytest.mark.parametrize("take", ["version=9", "shade=A1", "cusp_angle_deg=", "", "="])
def test_other_boxes_are_never_filled_this_way(take):
    typed = QueryDict("shade=B2")

    assert with_taken(typed, take) == (typed, "")
