"""What the steps of a prescription take, refuse and turn into values."""

from decimal import Decimal

import pytest
from django.http import QueryDict

from labcases.domain.gates import to_sign
from labcases.domain.prescription import CLINICAL
from labcases.forms.before import BeforeStep
from labcases.forms.prescription import (
    REMAINING,
    STEP_OF,
    STEP_TITLES,
    STEPS,
    MaterialsStep,
    RecordsStep,
    TeethStep,
    WishesStep,
)
from labcases.models import Case, Prescription

# Checking a row asks the database about its limits.
pytestmark = pytest.mark.django_db


def posted(**values: str) -> QueryDict:
    data = QueryDict(mutable=True)
    data.update({name: str(value) for name, value in values.items()})
    return data


def teeth_step(row: Prescription, **values: str) -> TeethStep:
    typed = {
        "route": "conventional",
        "set_up_order": "posterior first",
        "arch": row.arch,
        "drawn_arch": row.arch,
        **values,
    }
    form = TeethStep(posted(**typed), instance=row)
    assert form.is_valid(), form.errors
    return form


def test_every_clinical_answer_has_a_step_that_asks_for_it():
    assert set(STEP_OF) == set(CLINICAL)
    assert set(STEP_TITLES) == set(STEPS)


def test_everything_that_signing_asks_for_belongs_to_a_step():
    row = Prescription(case=Case())

    assert {item.field for item in to_sign(row)} <= set(STEP_OF)


# Answers


def test_a_draft_may_leave_every_answer_open():
    for form in (MaterialsStep, BeforeStep, RecordsStep, WishesStep):
        assert form(posted(), instance=Prescription()).is_valid()


@pytest.mark.parametrize(("typed", "value"), [("2,5", "2.5"), ("-3 mm", "-3"), (" 0.5 ", "0.5")])
def test_overjet_is_read_with_comma_point_and_unit(typed, value):
    form = BeforeStep(posted(overjet_mm=typed), instance=Prescription())

    assert form.is_valid()
    assert form.values()["overjet_mm"] == Decimal(value)


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("overjet_mm", "16", "Overjet before extraction is 16 mm. Enter -10 to 15 mm."),
        ("overbite_mm", "-11", "Overbite before extraction is -11 mm. Enter -10 to 12 mm."),
        ("incisal_display_mm", "21", "Incisal display at rest is 21 mm. Enter -10 to 20 mm."),
        ("midline_offset_mm", "11", "Midline offset is 11 mm. Enter -10 to 10 mm."),
    ],
)
def test_a_number_outside_the_limits_is_refused_with_the_limits(field, typed, sentence):
    form = BeforeStep(posted(**{field: typed}), instance=Prescription())

    assert form.errors[field] == [sentence]


def test_an_unknown_material_is_refused():
    form = MaterialsStep(posted(tooth_material="bone"), instance=Prescription())

    assert "tooth_material" in form.errors


# What belongs to one arch only

UPPER_FRONT = {"13": "extract at surgery", "14": "stop until surgery", "15": "lost", "16": "stays"}


@pytest.mark.parametrize(
    ("arch", "asked", "not_asked"),
    [("upper", "post_dam", "lower_border"), ("lower", "lower_border", "post_dam")],
)
def test_an_arch_is_asked_only_what_belongs_to_it(arch, asked, not_asked):
    form = MaterialsStep(posted(), instance=Prescription(arch=arch))

    assert asked in form.fields
    assert not_asked not in form.fields


def test_another_arch_forgets_what_was_said_of_the_first():
    row = Prescription(
        arch="upper", teeth=UPPER_FRONT, probing_mm={"13": "3"}, post_dam="by the mark"
    )

    values = teeth_step(row, arch="lower").values()

    assert values["probing_mm"] == values["teeth"] == values["opposing"] == {}
    assert (values["post_dam"], values["lower_border"]) == ("", "")


# All remaining teeth in one act


@pytest.mark.parametrize(
    ("route", "premolar", "front"),
    [
        ("conventional", "extract before records", "extract at surgery"),
        ("interim", "extract at surgery", "extract at surgery"),
    ],
)
def test_all_that_is_not_lost_comes_out_in_one_act(route, premolar, front):
    marked = {
        "tooth_18": "lost",
        "tooth_15": "stop until surgery",
        "tooth_12": "extract before records",
        "tooth_24": "stays",
        "tooth_23": "stays",
    }

    form = teeth_step(Prescription(), route=route, fill=REMAINING, **marked)

    teeth = form.values()["teeth"]
    assert form.filled == 13
    assert len(teeth) == 16
    assert (teeth["18"], teeth["15"], teeth["12"]) == (
        *("lost", "stop until surgery", "extract before records"),
    )
    assert (teeth["24"], teeth["25"], teeth["14"]) == (premolar, premolar, premolar)
    assert (teeth["23"], teeth["11"]) == (front, front)
