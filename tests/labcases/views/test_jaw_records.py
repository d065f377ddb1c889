"""Jaw records on the page of casts and records."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.models import Case, TakenRecord
from tests.factories import World, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db

TYPED = {
    "what": "record",
    "kind": "maximum intercuspation",
    "material": "hard wax",
    "taken_at": "12-Mar-2026 09:40",
    "taken_by": "Dora Winsley",
    "vertical_mm": "68,5",
}


@pytest.fixture
def here() -> World:
    return world()


@pytest.fixture
def case(here) -> Case:
    walk = here.walk()
    walk.prescribe()
    walk.sign()
    return walk.reload()


def url(case: Case) -> str:
    return reverse("casts", args=[case.code])


def test_a_record_is_kept_with_who_took_it_and_at_which_vertical(here, case):
    answer = logged_in(here.tomas).post(url(case), TYPED, follow=True)

    row = TakenRecord.objects.get()
    assert (row.taken_by, row.vertical_mm) == ("Dora Winsley", Decimal("68.5"))
    assert "The jaw record is entered." in text_of(answer)
    assert (
        "Maximum intercuspation record, hard wax, taken 12-Mar-2026 09:40 by Dora Winsley, at a "
        "vertical of 68.5 mm" in text_of(answer)
    )


def test_who_signed_is_proposed_as_who_took_it(here, case):
    page = logged_in(here.tomas).get(url(case)).content.decode()

    assert 'name="taken_by" value="Dora Winsley"' in page


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("kind", "", "Choose what the record holds."),
        ("taken_at", "", "Enter when the record was taken."),
        ("taken_by", "", "Enter who took the record."),
        ("vertical_mm", "6", "Vertical at which it was taken is 6 mm. Enter 20 to 120 mm."),
    ],
)
def test_half_a_record_is_refused_in_words(here, case, field, typed, sentence):
    answer = logged_in(here.tomas).post(url(case), TYPED | {field: typed})

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert 'value="hard wax"' in answer.content.decode()
    assert not TakenRecord.objects.exists()


def test_a_record_is_struck_out_and_the_office_reads_why(here, case):
    logged_in(here.tomas).post(url(case), TYPED)
    row = TakenRecord.objects.get()

    logged_in(here.mona).post(
        reverse("casts_strike", args=[case.code, row.pk, "record"]), {"reason": "first visit"}
    )

    words = text_of(logged_in(here.farah).get(url(case)))
    assert "Struck out by Mona Ridley" in words
    assert "first visit" in words


def test_the_case_counts_its_records(here, case):
    logged_in(here.tomas).post(url(case), TYPED | {"kind": "centric relation"})

    words = text_of(logged_in(here.dora).get(reverse("case", args=[case.code])))

    assert "0 impressions, 0 casts, 0 inspected; 1 jaw record" in words
    assert "1 thing to mind" in words


def test_the_office_enters_no_record(here, case):
    assert logged_in(here.dora).post(url(case), TYPED).status_code == 403
    assert not TakenRecord.objects.exists()
