"""The final-wax checklist: boxes, millimetres beside the record, what is decided, the approval."""

import pytest

from labcases.enums import Stage
from labcases.models import FinalWax
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


@pytest.fixture
def walk(cast):
    walk = cast.walk(patient_code="P-312")
    walk.to(Stage.FINAL_WAX)
    return walk


def sheet(walk, cast, **more):
    text = text_of(render("final-wax", walk.reload(), cast.tomas, **more))
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_before_the_wax_every_line_has_three_empty_boxes(walk, cast):
    text = sheet(walk, cast, size="Letter")
    assert "Check yes no not asked" in text
    assert "The midline is as on record ☐ ☐ ☐" in text
    assert "The base is nowhere thinner than the least set ☐ ☐ ☐" in text
    assert "☐ approved as shown" in text
    assert "P-312" in text
    assert f"{walk.case.code}-R01-FW" in text
    assert "Not for diagnosis or treatment decisions" in text


def test_a_finished_wax_prints_its_answers_millimetres_and_photographs(walk, cast):
    walk.wax()
    FinalWax.objects.update(
        overjet_mm="3.2",
        answers=FinalWax.objects.get().answers | {"palate": "no"},
        words={"palate": "ridge on the left"},
    )
    text = sheet(walk, cast)
    assert "The midline is as on record ☒ ☐ ☐" in text
    assert "The palate is even: ridge on the left ☐ ☒ ☐" in text
    assert "Overjet prescription R01 2 2 3.2 +1.2 mm more than 0.5" in text
    assert "teeth from in front, teeth from the right, teeth from the left, cast" in text
    assert "2.5 mm, 2 mm, 2.5 mm (right canine, midline, left canine)" in text


def test_an_approval_that_stands_is_printed_and_one_that_fell_is_not(walk, cast):
    walk.wax()
    walk.approve_wax()
    assert "Approved by Dora Winsley" in sheet(walk, cast)
    FinalWax.objects.update(approved_trims=[])
    assert "Approved by Dora Winsley" not in sheet(walk, cast)
    walk.approve_wax()
    FinalWax.objects.update(approved_digest="another")
    assert "Approved by Dora Winsley" not in sheet(walk, cast)
