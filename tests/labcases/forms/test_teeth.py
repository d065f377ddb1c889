"""The tooth selection takes a cusp angle within the engine's limits and leaves the rest free."""

import pytest
from django.http import QueryDict

from labcases.forms.teeth import SelectionForm
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
