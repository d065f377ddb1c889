"""Release and delivery sheet: what is on record, blanks for the rest; never a name."""

import io

import pytest
from pypdf import PdfReader

from labcases.enums import Stage
from labcases.management.walk import Walk
from labcases.models import Delivery, Organisation
from labcases.reference.checklists import lines_of
from labcases.reference.delivery import arrival_checklist, delivery_checklist
from labcases.reference.remount import remount_checklist
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]

LINES = lines_of((*remount_checklist(), *arrival_checklist(), *delivery_checklist()))


def test_a_delivered_case_has_every_part_filled(cast):
    walk = cast.walk(patient_name="Ada Quill")
    case = walk.to(Stage.DELIVERED)
    Delivery.objects.filter(case=case).update(
        liner_kind="soft liner", liner_lot="SL-9", adjusted=["16"], adjusted_words="16 mesial"
    )

    text = text_of(render("release-and-delivery", walk.reload(), cast.dora))

    assert "Quill" not in text
    assert "0 mm: balanced" in text
    assert "hypochlorite 1 in 10, 10 of 10 min" in text
    assert "second look by Tomas Abelard, Mona Ridley" in text
    assert "Remount checklist answered by Tomas Abelard" in text
    assert "Soft liner" in text
    assert "lot SL-9" in text
    assert "16 16 mesial" in text
    assert "Recorded by Dora Winsley" in text
    assert [line.text for line in LINES if line.text not in text] == []
    assert text.count("☒") == len(LINES)
    assert "Dentist, name and signature" not in text
    assert "the prescribing dentist decides" in text


def test_the_statement_begins_where_the_release_ends_and_breaks_between_its_lines(cast):
    Organisation.objects.update(profile="eu")
    walk = Walk(cast.walk().case, cast.hands)
    walk.to(Stage.DISPATCHED)
    pages = PdfReader(io.BytesIO(render("release-and-delivery", walk.reload(), cast.dora))).pages
    first = pages[0].extract_text()
    assert "Device statement" in first
    assert "1. Name and address" in first


def test_before_anything_is_on_record_every_part_can_be_written_on(cast):
    text = text_of(render("release-and-delivery", cast.case_at(Stage.DRAFT), cast.tomas))

    assert "☒" not in text
    assert [line.text for line in LINES if line.text not in text] == []
    for words in ("Bone changed, where and how much ☐ no ☐ yes", "Dentist, name and signature"):
        assert words in text
    assert "Used, and what blanched was relieved".lower() in text


def test_what_nobody_reported_is_no_report(cast):
    walk = cast.walk()
    Delivery.objects.filter(case=walk.to(Stage.DELIVERED)).update(reported=False, answers={})

    text = text_of(render("release-and-delivery", walk.reload(), cast.dora))

    assert "Delivered, not reported: nobody answered these lines." in text
    assert "Recorded by" not in text
