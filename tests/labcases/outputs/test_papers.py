"""Papers: what stands on them, and that the screen says the same."""

import io
import re
import socket
from datetime import timedelta
from decimal import Decimal

import pytest
from django.template.loader import render_to_string
from django.utils import timezone
from pypdf import PdfReader

from labcases.domain import prescription, stages
from labcases.enums import Stage, TryInOutcome
from labcases.outputs import paper as paper_parts
from labcases.outputs import pdf
from labcases.outputs.papers import PAPERS
from labcases.pdf_support import pdf_problem
from tests.factories import world

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(pdf_problem() is not None, reason=str(pdf_problem())),
]


def text_of(document: bytes) -> str:
    """The PDF's text with every run of blanks made one."""
    pages = PdfReader(io.BytesIO(document)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


@pytest.fixture
def cast():
    return world()


@pytest.fixture
def handed_over(cast):
    walk = cast.walk(patient_name="Agnes Dunmore")
    walk.settings["condylar_right_deg"] = Decimal("25")
    return walk.to(Stage.PROCESSING, allergy="listed", allergy_text="nickel")


def render(slug, case, by, **more):
    options = {"notation": "ISO 3950", "size": "A4", **more}
    return PAPERS[slug].pdf(case, by=by, **options)


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


def test_try_in_checklist_has_three_boxes_a_line_and_the_recorded_verdict(cast, handed_over):
    text = text_of(render("try-in", handed_over, cast.dora))

    assert "The pin is flush and touches the table ☐ ☐ ☐" in text
    assert "Approved, Dora Winsley" in text
    assert "Vertical in the mouth: 68 mm" in text


def test_try_in_checklist_of_an_interim_case_says_that_there_is_none(cast):
    case = cast.walk().to(Stage.SENT, route="interim")

    assert "No try-in exists on the interim route" in text_of(render("try-in", case, cast.dora))


def test_handoff_prints_settings_findings_and_budget(cast, handed_over):
    text = text_of(render("processing-handoff", handed_over, cast.tomas))

    assert f"{handed_over.code}-R01-PH" in text
    assert "heat-cured resin, pink, veined" in text
    assert "pin: zero 0 mm, last reading 0 mm, agreed 0 mm: balanced" in text.lower()
    assert "natural teeth and bone are never changed on this sheet's word" in text
    # 9 mm of space less 2 mm of base leaves 7 of the 8 mm tooth: 1 mm hollow, 1.8 of 2.8 mm left.
    assert "16 fits 9 mm 1 mm 1.8 mm 0.3 mm" in text


def test_handoff_keeps_what_was_frozen_when_the_record_changes_later(cast, handed_over):
    before = PAPERS["processing-handoff"].context(handed_over, by=cast.tomas, notation="ISO 3950")
    record = handed_over.articulator
    record.condylar_right_deg = Decimal("45")
    record.save()
    fresh = type(handed_over).objects.get(pk=handed_over.pk)

    after = PAPERS["processing-handoff"].context(fresh, by=cast.tomas, notation="ISO 3950")

    assert after["clearance"]["overview"] == before["clearance"]["overview"]


def test_handoff_before_it_is_handed_over_says_so(cast):
    case = cast.case_at(Stage.SET_UP)

    text = text_of(render("processing-handoff", case, cast.tomas))

    assert "Not handed over yet" in text


def test_sheet_with_a_changed_input_is_marked_stale(cast):
    case = cast.case_at(Stage.SET_UP)
    case.articulator.condylar_right_deg = Decimal("35")
    case.articulator.save()

    text = text_of(render("processing-handoff", type(case).objects.get(pk=case.pk), cast.tomas))

    assert "STALE: since the check was computed" in text
    assert "30 → 35" in text


def test_a_passed_gate_stands_on_later_papers(cast):
    walk = cast.walk()
    case = walk.to(Stage.SETTINGS)
    walk.enter_settings()
    stages.move(case=walk.reload(), to=Stage.SET_UP, by=cast.mona, reason="teeth arrive on Friday")

    text = text_of(render("lab-slip", walk.reload(), cast.tomas))

    assert "Mona Ridley: Settings to Set-up. teeth arrive on Friday" in text
    assert case.code in text


@pytest.mark.parametrize("slug", PAPERS)
def test_no_paper_holds_the_patients_name(cast, handed_over, slug):
    assert "Dunmore" not in text_of(render(slug, handed_over, cast.dora))


@pytest.mark.parametrize("slug", PAPERS)
@pytest.mark.parametrize(("size", "points"), [("A4", (595.3, 841.9)), ("Letter", (612.0, 792.0))])
def test_paper_has_the_size_that_was_asked_for(cast, handed_over, slug, size, points):
    document = PdfReader(io.BytesIO(render(slug, handed_over, cast.tomas, size=size)))

    boxes = {tuple(round(float(v), 1) for v in page.mediabox[2:]) for page in document.pages}
    assert boxes == {points}


@pytest.mark.parametrize("slug", PAPERS)
def test_paper_embeds_its_fonts(cast, handed_over, slug):
    document = PdfReader(io.BytesIO(render(slug, handed_over, cast.tomas)))

    names = {
        str(font.get_object()["/BaseFont"])
        for page in document.pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert all(re.match(r"/[A-Z]{6}\+DejaVu", name) for name in names), names


def test_universal_numbers_stand_on_the_papers_of_an_office_that_uses_them(cast):
    case = cast.walk().to(Stage.SENT)

    # ISO 11 and 21 are Universal 8 and 9; the list runs from the patient's right.
    assert "Denture teeth at 2 3 4 5 6 7 8 9 10 11 12 13 14 15" in text_of(
        render("lab-slip", case, cast.dora, notation="Universal")
    )


def test_code_follows_the_revision_in_force(cast):
    walk = cast.walk()
    walk.to(Stage.SENT)
    row = prescription.revise(case=walk.reload(), by=cast.dora)
    prescription.save(row=row, version=row.version, by=cast.dora, values={"shade": "A1"})
    walk.sign()

    text = text_of(render("lab-slip", walk.reload(), cast.dora))

    assert f"{walk.case.code}-R02-LS" in text
    assert "A1 (office tabs, set of 16)" in text


def test_unsigned_slip_may_not_be_worked_from(cast):
    case = cast.case_at(Stage.DRAFT)

    assert "not signed and may not be worked from" in text_of(render("lab-slip", case, cast.dora))


@pytest.mark.parametrize("demo", [True, False])
def test_demo_papers_say_so(cast, settings, demo):
    settings.DEMO = demo
    case = cast.case_at(Stage.DRAFT)

    text = text_of(render("lab-slip", case, cast.dora))

    assert ("DEMO - invented people" in text) is demo


def test_rendering_opens_no_connection_and_no_address(cast, handed_over, monkeypatch):
    def refuse(*_arguments, **_options):
        raise AssertionError("a connection was opened")

    monkeypatch.setattr(socket.socket, "connect", refuse)

    assert render("lab-slip", handed_over, cast.tomas).startswith(b"%PDF")


@pytest.mark.parametrize("address", ["file:///etc/hostname", "http://127.0.0.1:9/", "ftp://x/y"])
def test_fetcher_refuses_every_address_but_data(address):
    with pytest.raises(ValueError, match=address.split(":", 1)[0]):
        pdf.fetcher().fetch(address)


def test_what_a_person_typed_is_text_on_paper(cast):
    case = cast.walk().to(Stage.DRAFT, instructions="<img src='file:///etc/hostname'> & more")

    text = text_of(render("lab-slip", case, cast.dora))

    assert "<img src='file:///etc/hostname'> & more" in text


def test_screen_and_pdf_show_the_same_body(cast, handed_over):
    paper = PAPERS["processing-handoff"]
    context = paper.context(handed_over, by=cast.tomas, notation="ISO 3950")
    screen = re.sub(r"<[^>]+>", " ", render_to_string(paper.template, context))
    words = set(re.findall(r"\d+\.\d+|\w{4,}", screen))

    printed = text_of(render("processing-handoff", handed_over, cast.tomas))

    assert [word for word in sorted(words) if word not in printed] == []


def test_missing_pango_is_told_with_the_packages(cast, monkeypatch):
    monkeypatch.setattr(pdf, "pdf_problem", lambda: "PDFs need libpango-1.0-0.")

    with pytest.raises(pdf.PdfOff, match=r"libpango-1\.0-0"):
        render("lab-slip", cast.case_at(Stage.DRAFT), cast.dora)


def test_qr_code_is_version_2_with_its_quiet_zone():
    # A code of 19 capitals and digits at level Q needs version 2: 25 modules and 4 around.
    assert 'viewBox="0 0 33 33"' in paper_parts.qr_svg("7Q2K9A3BC4DH-R03-LS")


def test_late_stage_on_the_slip_counts_working_days(cast):
    walk = cast.walk(surgery_in_days=120)
    walk.to(Stage.SENT)
    type(walk.case).objects.filter(pk=walk.case.pk).update(
        surgery_on=timezone.localdate() + timedelta(days=7)
    )

    assert re.search(
        r"late by \d+ working days", text_of(render("lab-slip", walk.reload(), cast.dora))
    )


def test_recorded_answers_are_ticked(cast):
    walk = cast.walk()
    walk.to(Stage.TRY_IN)
    row = walk.reload().try_ins.last()
    row.answers = {"pin": "change"}
    row.outcome = TryInOutcome.APPROVED_WITH_CHANGES
    row.decided_by, row.decided_at = cast.dora, timezone.now()
    row.save()

    text = text_of(render("try-in", walk.reload(), cast.dora))

    assert "The pin is flush and touches the table ☐ ☒ ☐" in text
