"""Remount sheet: what was read and done, or blanks to write on; never a name."""

import pytest

from labcases.enums import Stage
from labcases.management import walk_remount
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


def test_the_sheet_tells_rise_contacts_and_corrections_in_their_order(cast):
    walk = cast.walk(patient_name="Ada Quill")
    walk.to(Stage.REMOUNT)
    walk_remount.remount(walk.reload(), cast.tomas)

    text = text_of(render("remount-sheet", walk.reload(), cast.dora))

    assert "Remount sheet" in text
    assert "Quill" not in text
    assert "0 mm: balanced" in text
    read, corrected = text.index("pin 0.4 mm above the agreed"), text.index("16, 0.3 mm off")
    assert read < corrected < text.index("pin at the agreed value")
    assert "The pin alone does not tell where the teeth meet" in text
    assert "No front tooth meets heavily" in text
    assert "Answered by Tomas Abelard" in text
    assert "the prescribing dentist decides" in text


def test_an_empty_sheet_can_be_written_on(cast):
    text = text_of(render("remount-sheet", cast.case_at(Stage.DRAFT), cast.tomas))

    assert "not known: not read" in text
    assert "Cause of a rise above 1 mm" in text
    assert "Denture teeth corrected, each with mm" in text
