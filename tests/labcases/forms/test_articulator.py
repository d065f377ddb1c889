"""The articulator form takes its limits from the engine and names both sides."""

import pytest
from django.http import QueryDict

from labcases.forms.articulator import AcknowledgeForm, ArticulatorForm
from labcases.models import ArticulatorRecord
from occlusion.ranges import LIMITS

# Checking a row asks the database about its limits.
pytestmark = pytest.mark.django_db

MEASURED = [name for name in ArticulatorForm.Meta.fields if name.endswith(("_mm", "_deg"))]


def test_every_number_of_the_record_has_a_limit_of_the_engine():
    assert set(ArticulatorForm.limits) == set(MEASURED)
    assert set(ArticulatorForm.limits.values()) <= set(LIMITS)


@pytest.mark.parametrize("name", MEASURED)
def test_each_number_is_refused_just_outside_the_engines_limits(name):
    limit = LIMITS[ArticulatorForm.limits[name]]
    low, high = limit.hard
    typed = {"low": f"{low - 1:g}", "high": f"{high + 1:g}"}

    for value in typed.values():
        form = ArticulatorForm(QueryDict(f"{name}={value}"), instance=ArticulatorRecord())
        assert f"Enter {low:g} to {high:g} {limit.unit}" in form.errors[name][0]
    for value in (low, high):
        form = ArticulatorForm(QueryDict(f"{name}={value:g}"), instance=ArticulatorRecord())
        assert name not in form.errors


@pytest.mark.parametrize("name", ["condylar_right_deg", "bennett_left_deg", "wing_right_deg"])
def test_a_refused_angle_names_the_plane_that_it_is_read_against(name):
    form = ArticulatorForm(QueryDict(f"{name}=94"), instance=ArticulatorRecord())

    assert form.errors[name][0].endswith("read against the plane named in the record.")


def test_settings_with_two_sides_are_paired_right_before_left():
    pairs = list(ArticulatorForm().pairs())

    assert [(pair.label, pair.named_by) for pair in pairs] == [
        ("Condylar inclination", "condyle"),
        ("Bennett angle", "condyle"),
        ("Immediate side shift", "condyle"),
        ("Lateral wing", "excursion"),
    ]
    assert [pair.right.name for pair in pairs] == [
        "condylar_right_deg",
        "bennett_right_deg",
        "side_shift_right_mm",
        "wing_right_deg",
    ]
    assert all("left" in pair.left.name for pair in pairs)


def test_acknowledging_needs_the_version_that_was_read():
    read = AcknowledgeForm(QueryDict("version=3"))

    assert read.is_valid()
    assert read.cleaned_data == {"version": 3}
    assert not AcknowledgeForm(QueryDict("")).is_valid()
