"""What the record from before the extraction takes, refuses and turns into values."""

import pytest
from django.http import QueryDict

from labcases.forms.before import BeforeStep
from labcases.models import Prescription

# Checking a row asks the database about its limits.
pytestmark = pytest.mark.django_db


def posted(**values: str) -> QueryDict:
    data = QueryDict(mutable=True)
    data.update({name: str(value) for name, value in values.items()})
    return data


UPPER_FRONT = {"13": "extract at surgery", "14": "stop until surgery", "15": "lost", "16": "stays"}


def test_depths_are_asked_of_the_teeth_that_come_out_and_of_no_others():
    form = BeforeStep(posted(), instance=Prescription(teeth=UPPER_FRONT))

    assert [tooth for tooth, _name, _field in form.depths] == ["14", "13"]


def test_depths_are_kept_as_they_were_typed_and_empty_ones_left_out():
    form = BeforeStep(posted(probe_13="3,5", probe_14=""), instance=Prescription(teeth=UPPER_FRONT))

    assert form.is_valid(), form.errors
    assert form.values()["probing_mm"] == {"13": "3.5"}


def test_a_depth_of_nothing_has_no_sign():
    form = BeforeStep(posted(probe_13="-0"), instance=Prescription(teeth=UPPER_FRONT))

    assert form.is_valid()
    assert form.values()["probing_mm"] == {"13": "0"}


def test_a_depth_that_no_probe_reads_is_refused_by_the_name_of_its_tooth():
    form = BeforeStep(posted(probe_13="16"), instance=Prescription(teeth=UPPER_FRONT))

    assert form.errors["probe_13"] == ["13, upper right canine, is 16 mm. Enter 0 to 15 mm."]


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("smile_display_mm", "26", "Incisal display smiling is 26 mm. Enter -10 to 25 mm."),
        ("vertical_rest_mm", "19", "Vertical at rest is 19 mm. Enter 20 to 120 mm."),
        ("vertical_occlusion_mm", "121", "Vertical in occlusion is 121 mm. Enter 20 to 120 mm."),
        ("interalar_mm", "61", "Interalar width is 61 mm. Enter 20 to 60 mm."),
        ("canine_lines_mm", "71", "Distance of the canine lines is 71 mm. Enter 20 to 70 mm."),
    ],
)
def test_a_measure_outside_the_limits_is_refused_with_the_limits(field, typed, sentence):
    form = BeforeStep(posted(**{field: typed}), instance=Prescription())

    assert form.errors[field] == [sentence]


def test_photographs_are_chosen_among_the_views_of_the_patient():
    data = posted()
    data.setlist("photographs", ["smile", "profile"])
    wrong = posted(photographs="cast")

    right = BeforeStep(data, instance=Prescription())

    assert right.is_valid(), right.errors
    assert right.values()["photographs"] == ["smile", "profile"]
    assert "photographs" in BeforeStep(wrong, instance=Prescription()).errors
