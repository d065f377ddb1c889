"""What the steps of a prescription take, refuse and turn into values."""

from decimal import Decimal

import pytest
from django.http import QueryDict

from labcases.domain.gates import to_sign
from labcases.domain.prescription import CLINICAL
from labcases.enums import OpposingTooth, ToothStatus
from labcases.forms.prescription import (
    STEP_OF,
    STEP_TITLES,
    STEPS,
    MaterialsStep,
    OpposingStep,
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


# Charts


@pytest.mark.parametrize(("arch", "first", "last"), [("upper", "18", "28"), ("lower", "48", "38")])
def test_a_chart_has_sixteen_rows_from_the_patients_right_to_the_left(arch, first, last):
    rows = list(TeethStep(instance=Prescription(arch=arch)).rows)

    assert len(rows) == 16
    assert (rows[0].tooth, rows[-1].tooth) == (first, last)
    assert [row.tooth for row in rows if row.starts_left] == [rows[8].tooth]
    assert rows[7].words.endswith("right central incisor")


def test_the_opposing_chart_is_of_the_other_arch():
    rows = list(OpposingStep(instance=Prescription(arch="lower")).rows)

    assert rows[0].tooth == "18"


@pytest.mark.parametrize("form", [TeethStep, OpposingStep])
def test_every_mark_has_a_column(form):
    assert len(form.columns) == len(form.marks.values)


def test_marks_become_a_chart_without_positions_that_are_open():
    form = teeth_step(Prescription(), tooth_16="lost", tooth_13="extract at surgery")

    assert form.values()["teeth"] == {
        "16": ToothStatus.LOST,
        "13": ToothStatus.EXTRACT_AT_SURGERY,
    }
    assert "opposing" not in form.values()


def test_filling_counts_only_what_was_open():
    form = teeth_step(Prescription(), tooth_13="stays", fill="lost")

    assert form.filled == 15
    assert form.values()["teeth"]["13"] == "stays"
    assert form.values()["teeth"]["28"] == "lost"


def test_an_unknown_fill_marks_nothing():
    form = teeth_step(Prescription(), fill="painted")

    assert (form.filled, form.values()["teeth"]) == (0, {})


def test_the_wanted_arch_decides_which_chart_is_kept():
    stored = Prescription(arch="upper", teeth={"16": "lost"}, opposing={"46": "natural"})

    kept = teeth_step(stored, tooth_15="stays").values()
    turned = teeth_step(
        Prescription(arch="upper", teeth={"16": "lost"}), arch="lower", drawn_arch="upper"
    )

    assert kept["teeth"] == {"15": "stays"}
    assert (turned.values()["teeth"], turned.values()["opposing"]) == ({}, {})
    assert turned.arch_changed


def test_when_another_person_turned_the_arch_the_own_chart_takes_the_opposing_one_along():
    """The stored draft is lower by now; this person still marked the upper arch."""
    stored = Prescription(arch="lower", teeth={"46": "lost"}, opposing={"16": "natural"})

    values = teeth_step(stored, arch="upper", drawn_arch="upper", tooth_16="lost").values()

    assert values["teeth"] == {"16": "lost"}
    assert values["opposing"] == {}


def test_keeping_the_arch_that_the_other_stored_keeps_that_persons_chart():
    stored = Prescription(arch="lower", teeth={"46": "lost"}, opposing={"16": "natural"})

    values = teeth_step(
        stored, arch="upper", drawn_arch="upper", tooth_16="lost", **{"keep-arch": "stored"}
    ).values()

    assert (values["arch"], values["teeth"]) == ("lower", {"46": "lost"})
    assert "opposing" not in values


def test_an_opposing_chart_that_was_drawn_for_the_other_arch_is_refused():
    form = OpposingStep(
        posted(drawn_arch="lower", tooth_46=OpposingTooth.NATURAL),
        instance=Prescription(arch="lower"),
    )

    assert not form.is_valid()
    assert "It is now the lower one, so mark the upper arch here." in form.errors["__all__"][0]


# Answers


def test_a_draft_may_leave_every_answer_open():
    for form in (MaterialsStep, RecordsStep, WishesStep):
        assert form(posted(), instance=Prescription()).is_valid()


@pytest.mark.parametrize(("typed", "value"), [("2,5", "2.5"), ("-3 mm", "-3"), (" 0.5 ", "0.5")])
def test_overjet_is_read_with_comma_point_and_unit(typed, value):
    form = RecordsStep(posted(overjet_mm=typed), instance=Prescription())

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
    form = RecordsStep(posted(**{field: typed}), instance=Prescription())

    assert form.errors[field] == [sentence]


def test_an_unknown_material_is_refused():
    form = MaterialsStep(posted(tooth_material="bone"), instance=Prescription())

    assert "tooth_material" in form.errors
