"""Box label: both houses, both codes, what is in it and how it was disinfected; never a name."""

import io

import pytest
from pypdf import PdfReader

from labcases.enums import Stage
from labcases.outputs import box_label
from labcases.outputs.papers import PAPERS
from tests import needs
from tests.factories import world
from tests.labcases.outputs.printed import render, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    here = world()
    walk = here.walk(patient_name="Agnes Dunmore")
    walk.to(Stage.SENT)
    return walk


def labels(walk):
    return box_label.build_context(walk.reload(), by=walk.hands.lab_desk, notation="ISO 3950")


@needs.pango
def test_the_label_says_from_where_to_whom_and_what_is_in_the_box(walk):
    walk.case.boxes.update(courier="own round", tracking="T-77")

    text = text_of(render("box-label", walk.reload(), walk.hands.office_desk, size="A5"))

    assert f"{walk.case.code}-R01-BL" in text
    assert "Patient code P-100" in text
    assert "Dunmore" not in text
    assert "To Tarn Lane Laboratory 1 Test Street From Ferry Street Office 1 Test Street" in text
    assert "Impression 1 hypochlorite spray, closed bag, 10 of 10 min" in text
    assert "Photographs 1 not needed" in text
    assert "by Farah Kline; carried by own round, tracking number T-77." in text
    assert "Treat as contaminated" not in text


@needs.pango
def test_it_fits_a_sheet_of_a5(walk):
    sheet = PdfReader(io.BytesIO(render("box-label", walk.case, walk.hands.lab_desk, size="A5")))

    assert [[round(float(v), 1) for v in page.mediabox[2:]] for page in sheet.pages] == [
        [419.5, 595.3]
    ]
    assert PAPERS["box-label"].sizes == ("A5", "A4", "Letter", "label")


def test_a_box_whose_disinfection_is_unknown_says_so_on_the_outside(walk):
    walk.case.boxes.get().items.filter(content="impression").update(agent="")

    (label,) = labels(walk)["labels"]

    assert label.contaminated
    assert [(content, count, state.words) for content, count, state in label.rows] == [
        ("Impression", 1, "unknown: treat as contaminated"),
        ("Photographs", 1, "not needed"),
    ]


def test_each_box_that_has_not_arrived_has_a_label_of_its_own(walk):
    walk.pack("to the office", "tray", by=walk.hands.lab_desk)

    found = labels(walk)["labels"]

    assert [(one.sender.name, one.receiver.name) for one in found] == [
        ("Tarn Lane Laboratory", "Ferry Street Office"),
        ("Ferry Street Office", "Tarn Lane Laboratory"),
    ]
    walk.take_in("to the laboratory", by=walk.hands.lab_desk)
    assert [one.receiver.name for one in labels(walk)["labels"]] == ["Ferry Street Office"]


@needs.pango
def test_without_a_box_the_sheet_says_that_there_is_nothing_to_label(walk):
    walk.take_in("to the laboratory", by=walk.hands.lab_desk)

    assert "No box is packed or on its way" in text_of(
        render("box-label", walk.reload(), walk.hands.lab_desk)
    )
