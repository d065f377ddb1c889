"""Charts: one mark for each position, and an arch that another person may turn round."""

import pytest
from django.http import QueryDict

from labcases.enums import OpposingTooth, ToothStatus
from labcases.forms.prescription import OpposingStep, TeethStep
from labcases.models import Prescription

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
