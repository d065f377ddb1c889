"""The wax beside the record: the prescription's, or what was read again at the try-in."""

from decimal import Decimal

import pytest

from labcases.domain import wax_measures
from labcases.enums import Stage
from labcases.models import FinalWax, TryIn
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def case():
    return world().case_at(Stage.DRAFT)


def row(case, field, **wax):
    found = wax_measures.compared(type(case).objects.get(pk=case.pk), FinalWax(**wax))
    return next(one for one in found if one.field == field)


@pytest.mark.parametrize(
    ("before", "wax", "difference", "word"),
    [
        (D("2"), D("2"), D("0"), "Within 0.5 mm"),
        (D("2"), D("2.5"), D("0.5"), "Within 0.5 mm"),
        (D("2"), D("1.4"), D("-0.6"), "More than 0.5 mm apart"),
        (D("2"), None, None, "Not measured in wax"),
        (None, D("2"), None, "Not on record"),
    ],
)
def test_a_measurement_is_compared_with_the_record(case, before, wax, difference, word):
    case.prescriptions.update(overjet_mm=before)
    one = row(case, "overjet_mm", overjet_mm=wax)
    assert (one.difference_mm, one.word) == (difference, word)


def test_words_make_a_difference_one_that_is_prescribed(case):
    case.prescriptions.update(overjet_mm=D("2"))
    told = {"overjet_mm": "3 mm wanted, R02"}
    one = row(case, "overjet_mm", overjet_mm=D("3"), as_prescribed=told)
    assert (one.explained, one.word, one.glyph) == (True, "As prescribed", "done")


def test_all_five_measurements_stand_there_before_any_wax(case):
    assert [one.label for one in wax_measures.compared(case, None)] == [
        *("Overjet", "Overbite", "Incisal display", "Midline offset"),
        "Length of the central incisor",
    ]


def test_what_the_try_in_read_again_goes_before_the_prescription(case):
    case.prescriptions.update(incisal_display_mm=D("2.5"), midline_offset_mm=D("0"))
    TryIn.objects.create(
        case=case,
        number=1,
        revision=1,
        outcome="approved",
        display_rest_mm=D("3"),
        length_change_mm=D("-1"),
        midline_mm=None,
    )
    display = row(case, "incisal_display_mm", incisal_display_mm=D("2.2"))
    assert (display.before_mm, display.source) == (D("3"), "try-in 1")
    assert (display.wanted_mm, display.difference_mm, display.within) == (D("2"), D("0.2"), True)
    midline = row(case, "midline_offset_mm", midline_offset_mm=D("0"))
    assert (midline.source, midline.wanted_mm) == ("prescription R01", D("0"))


@pytest.mark.parametrize("outcome", ["", "waived"])
def test_a_try_in_at_which_nobody_looked_says_nothing(case, outcome):
    case.prescriptions.update(incisal_display_mm=D("2.5"))
    TryIn.objects.create(case=case, number=1, revision=1, outcome=outcome, display_rest_mm=D("9"))
    assert row(case, "incisal_display_mm").source == "prescription R01"
