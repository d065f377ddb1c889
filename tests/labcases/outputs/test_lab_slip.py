"""The lab slip: what was ordered, what arrived, whether it may be worked from."""

import io
import re
from datetime import timedelta

import pytest
from django.utils import timezone
from pypdf import PdfReader

from labcases.domain import box, differences
from labcases.enums import Stage
from labcases.management import paper_walk
from labcases.management.walk import natural
from labcases.models import Case
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


def test_lab_slip_says_what_was_ordered_and_what_arrived(cast, handed_over):
    text = text_of(render("lab-slip", handed_over, cast.tomas))

    assert "Lab slip" in text
    assert f"{handed_over.code}-R01-LS" in text
    assert "P-100" in text
    assert "Allergy: nickel" in text
    assert "B2 (office tabs, set of 16)" in text
    assert "Condylar inclination, by condyle 25 deg 30 deg" in text
    assert "Impression 1 1 hypochlorite spray, closed bag, 10 of 10 min" in text
    assert "Signed by Dora Winsley, licence D-7781" in text
    assert (
        "Mounting 1, agreed: Foil is held at 3 points: 13/43, 23/33, 11/41. Foil of the "
        "laboratory: 8 µm (common practice, no source)." in text
    )


def test_slip_says_what_a_difference_turned_out_to_be(cast):
    row = cast.case_at(Stage.SENT).boxes.get()
    row.items.filter(content="impression").update(count=2)
    counts = {item.pk: 1 for item in row.items.all()}
    box.receive(box=row, counts=counts, by=cast.lena)
    impression = row.items.get(content="impression")
    differences.settle(item=impression, outcome="never packed", note="It is here.", by=cast.farah)

    text = text_of(render("lab-slip", row.case, cast.tomas))

    assert "Impression (1 never packed: the sender still has it) 2 1" in text


def test_slip_says_what_the_denture_meets_and_leaves_natural_teeth_to_the_dentist(cast):
    case = cast.case_at(
        Stage.DRAFT,
        opponent="partial denture being made",
        opposing=natural("lower") | {"36": "denture"},
        over_eruption_mm={"37": "1.6"},
        over_eruption_by="by eye",
    )
    text = text_of(render("lab-slip", case, cast.tomas))

    assert "Natural teeth and a partial denture that is being made" in text
    assert "37 by 1.6 mm (estimated by eye). The dentist decides; no natural tooth is" in text


def test_slip_says_to_which_side_the_midline_stands_off(cast):
    case = cast.case_at(Stage.DRAFT, midline_offset_mm="1.5")

    assert "midline +1.5 mm from the middle of the face (plus is to the patient's left)" in text_of(
        render("lab-slip", case, cast.tomas)
    )


def test_long_instructions_leave_the_prescription_on_the_first_page(cast):
    case = cast.case_at(Stage.DRAFT, instructions="Keep the gap of the lateral incisor. " * 40)

    first = PdfReader(io.BytesIO(render("lab-slip", case, cast.tomas))).pages[0].extract_text()
    assert "Heat-cured resin" in first
    assert "Keep the gap of the lateral incisor." in first


def test_a_word_wider_than_the_paper_is_broken_and_not_cut_off(cast):
    case = cast.case_at(Stage.DRAFT, instructions="x" * 400)

    pieces = re.findall("x{20,}", text_of(render("lab-slip", case, cast.tomas)))
    assert len(pieces) > 1
    assert sum(len(piece) for piece in pieces) == 400


@pytest.mark.parametrize("kind", ["try-in", "processing-handoff"])
def test_the_other_papers_say_what_the_denture_meets_too(cast, kind):
    case = cast.case_at(Stage.DRAFT, opposing=dict.fromkeys(natural("lower"), "denture"))

    assert "A complete denture that is worn" in text_of(render(kind, case, cast.tomas))


def test_unsigned_slip_may_not_be_worked_from(cast):
    case = cast.case_at(Stage.DRAFT)

    assert "not signed and may not be worked from" in text_of(render("lab-slip", case, cast.dora))


def test_universal_numbers_stand_on_the_papers_of_an_office_that_uses_them(cast):
    case = cast.walk().to(Stage.SENT)

    # ISO 11 and 21 are Universal 8 and 9; the list runs from the patient's right.
    assert "Denture teeth at 2 3 4 5 6 7 8 9 10 11 12 13 14 15" in text_of(
        render("lab-slip", case, cast.dora, notation="Universal")
    )


def test_late_stage_on_the_slip_counts_working_days(cast):
    walk = cast.walk(surgery_in_days=120)
    walk.to(Stage.SENT)
    type(walk.case).objects.filter(pk=walk.case.pk).update(
        surgery_on=timezone.localdate() + timedelta(days=7)
    )

    assert re.search(
        r"late by \d+ working days", text_of(render("lab-slip", walk.reload(), cast.dora))
    )


def test_a_signature_on_paper_is_printed_as_what_it_is(cast):
    case = paper_walk.open_case(
        office=cast.office, laboratory=cast.laboratory, patient_code="MR-207", by=cast.lena
    )
    paper_walk.sign_on_paper(case, typed_by=cast.lena, confirmed_by=cast.mona)

    text = text_of(render("lab-slip", Case.objects.get(pk=case.pk), cast.tomas))

    assert "Signed on paper, page on file: Ilse Rowan, licence D-6120, paper of " in text
    assert "typed by Lena Marsh, confirmed by Mona Ridley" in text
    assert "R01 signed on paper, page on file" in text
    assert "not signed" not in text
