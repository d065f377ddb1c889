"""After-care sheet: whom to call, when to come back, what to do; never a name."""

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.enums import Stage
from labcases.models import Organisation
from labcases.outputs.papers import NotPrinted
from labcases.templatetags.units import due_date
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


def test_the_patient_reads_whom_to_call_and_when_to_come_back(cast):
    walk = cast.walk(patient_name="Ada Quill")
    case = walk.to(Stage.DELIVERED)
    tomorrow = timezone.localdate() + timedelta(days=1)
    row = case.delivery
    row.first_check_on, row.liner_kind, row.liner_until = tomorrow, "soft liner", tomorrow
    row.save()

    text = text_of(render("after-care", walk.reload(), cast.dora))

    assert "In an emergency call 01632 960 100 Ferry Street Office" in text
    assert "Patient code P-100" in text
    assert "Quill" not in text
    assert f"Your first check, in about 24 hours {due_date(tomorrow)}".replace("\xa0", " ") in text
    assert "Soft liner; it is looked at or changed by" in text
    assert "Leave the denture in until your dentist has seen you, in about 24 hours." in text
    assert text.index("The first day") < text.index("After the first check")
    assert "What your dentist tells you goes before this sheet." in text
    assert "after-care sheets of seven offices, read (R)" in text
    for trade in ("not cleared", "Allergy", "remount"):
        assert trade not in text


def test_before_delivery_it_has_blanks_to_write_on(cast):
    text = text_of(render("after-care", cast.case_at(Stage.DRAFT), cast.farah))

    assert "Your first check, in about 24 hours at" in text
    assert "Lining placed" not in text


def test_the_office_prints_its_own_text(cast):
    Organisation.objects.filter(pk=cast.office.pk).update(after_care="Tonight\nSleep propped up.")

    text = text_of(render("after-care", cast.case_at(Stage.DRAFT), cast.farah))

    assert "Tonight Sleep propped up." in text
    assert "Text of Ferry Street Office." in text
    assert "The first day" not in text


def test_without_a_telephone_it_is_not_printed(cast):
    Organisation.objects.filter(pk=cast.office.pk).update(emergency_telephone="")

    with pytest.raises(NotPrinted, match="Ferry Street Office has entered no telephone"):
        render("after-care", cast.case_at(Stage.DRAFT), cast.farah)
