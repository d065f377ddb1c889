"""The wax beside the measurements before extraction."""

from decimal import Decimal

import pytest

from labcases.domain import tryin
from labcases.enums import Stage
from labcases.models import FinalWax, Prescription
from labcases.outputs import wax_view
from tests.factories import world

D = Decimal


def compared(before, wax):
    rows = wax_view.comparison(Prescription(overjet_mm=before), FinalWax(overjet_mm=wax))
    return next(row for row in rows if row.label == "Overjet")


@pytest.mark.parametrize(
    ("before", "wax", "difference", "word"),
    [
        (D("2"), D("2"), D("0"), "Within 0.5 mm"),
        (D("2"), D("2.5"), D("0.5"), "Within 0.5 mm"),
        (D("2"), D("1.4"), D("-0.6"), "More than 0.5 mm apart"),
        (D("2"), None, None, "Not measured in wax"),
        (None, D("2"), None, "Not measured before extraction"),
        (None, None, None, "Not measured before extraction"),
    ],
)
def test_a_measurement_is_compared_with_the_natural_teeth(before, wax, difference, word):
    row = compared(before, wax)
    assert row.difference_mm == difference
    assert row.word == word


def test_all_four_measurements_stand_there_before_any_wax():
    rows = wax_view.comparison(Prescription(), None)
    assert [row.label for row in rows] == [
        "Overjet",
        "Overbite",
        "Incisal display",
        "Midline offset",
    ]


@pytest.mark.parametrize(
    ("bone", "template", "said"),
    [(True, False, True), (True, True, False), (True, None, False), (False, False, False)],
)
def test_bone_without_a_template_is_pointed_out(bone, template, said):
    found = wax_view.cautions(FinalWax(bone_change_planned=bone, template_wanted=template))
    assert bool(found) is said


def test_the_caution_leaves_the_decision_to_the_dentist():
    (found,) = wax_view.cautions(FinalWax(bone_change_planned=True, template_wanted=False))
    assert found["text"].endswith("The dentist decides.")
    assert found["source"]


@pytest.mark.django_db
def test_what_changed_after_an_approval_is_named_without_the_approval_itself():
    here = world()
    walk = here.walk()
    case = walk.to(Stage.FINAL_WAX)
    walk.wax()
    walk.approve_wax()
    assert wax_view.changed_since_approval(case) == []
    row = FinalWax.objects.get(case=case)
    tryin.save_final_wax(
        case=walk.reload(),
        version=row.version,
        by=here.tomas,
        values={"overjet_mm": D("2.75"), "duplicate_made": False},
    )
    (change,) = wax_view.changed_since_approval(case)
    assert str(change.entry.by) == "Tomas Abelard"
    assert [text.replace("\N{NO-BREAK SPACE}", " ") for text in change.changes] == [
        "overjet: 2 mm → 2.75 mm",
        "duplicate made: yes → no",
    ]


@pytest.mark.django_db
def test_a_wax_that_was_never_approved_has_no_change_to_tell():
    walk = world().walk()
    case = walk.to(Stage.FINAL_WAX)
    walk.wax()
    assert wax_view.changed_since_approval(case) == []
