"""Incident sheet: what happened, what it undid, who was told, what it cost; never a name."""

import io

import pytest
from pypdf import PdfReader

from labcases.domain import incident
from labcases.enums import Stage
from labcases.models import Incident
from tests import needs
from tests.labcases.domain.test_incident import report
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


def test_the_sheet_tells_the_whole_report_by_codes_alone(cast):
    walk = cast.walk(patient_name="Ada Quill")
    walk.to(Stage.SETTINGS)
    report(walk, "broken-cast", cast.tomas, "own", text="It fell off the bench.")

    text = text_of(render("incident-sheet", walk.reload(), cast.dora))

    assert "Incident sheet" in text
    assert "P-100" in text
    assert "Quill" not in text
    assert "A cast broke, a cast of the denture's arch" in text
    assert "It fell off the bench." in text
    assert "settings to master cast and rims" in text
    assert "The mounting is kept as a past one" in text
    assert "office and laboratory" in text
    assert "4 working days by the stage times of the plan" in text
    assert "Keep every piece and the articulator as they are." in text
    assert "the prescribing dentist decides" in text
    assert "Not for diagnosis or treatment decisions" in text


def test_the_closing_lines_never_stand_alone_on_a_page(cast):
    walk = cast.walk()
    walk.to(Stage.ACCEPTED)
    text = "\n".join(f"line {number}" for number in range(29))
    report(walk, "broken-cast", cast.lena, "own", text=text)
    pages = []
    while len(pages) < 2:
        Incident.objects.update(text=text)
        sheet = render("incident-sheet", walk.reload(), cast.dora)
        pages = [page.extract_text() for page in PdfReader(io.BytesIO(sheet)).pages]
        text += "\nmore"

    assert pages[1].startswith("Pour again from the impression only where it is whole")
    assert "the prescribing dentist decides" in pages[1]


def test_a_closed_report_says_what_was_done_and_a_struck_one_is_only_counted(cast):
    walk = cast.walk()
    walk.to(Stage.ACCEPTED)
    first = report(walk, "wrong-box", cast.lena, text="A bag of another case.")
    second = report(walk, "teeth-out-of-stock", cast.lena, "later", text="Three weeks.")
    incident.close(incident=first, done="Sent back.", by=cast.lena)
    incident.strike(incident=second, reason="They were there.", by=cast.lena)

    text = text_of(render("incident-sheet", walk.reload(), cast.dora))

    assert "Sent back." in text
    assert "Three weeks." not in text
    assert "1 report struck out; what it took back stays taken back." in text


def test_a_late_allergy_stands_on_every_paper(cast):
    walk = cast.walk()
    walk.to(Stage.ACCEPTED)
    report(walk, "allergy-reported-late", cast.farah, allergy="acrylate")

    assert "acrylate, reported" in text_of(render("lab-slip", walk.reload(), cast.dora))


def test_where_nothing_happened_the_sheet_says_so(cast):
    text = text_of(render("incident-sheet", cast.walk().case, cast.dora))

    assert "Nothing was reported of this case." in text
