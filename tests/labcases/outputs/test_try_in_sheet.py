"""The try-in checklist: boxes to tick, and what was ticked."""

import pytest
from django.utils import timezone

from labcases.enums import Stage, TryInOutcome
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


def test_try_in_checklist_has_three_boxes_a_line_and_the_recorded_verdict(cast, handed_over):
    text = text_of(render("try-in", handed_over, cast.dora))

    assert "The pin is flush and touches the table ☒ ☐" in text
    assert "The base is stable and does not rock ☒ ☐ ☐" in text
    assert "Approved, Dora Winsley" in text
    assert "Freeway space 3 mm. 2 to 4 mm is usual." in text
    assert "Checked by Tomas Abelard" in text


def test_try_in_checklist_of_an_interim_case_says_that_there_is_none(cast):
    case = cast.walk().to(Stage.SENT, route="interim")

    assert "No try-in exists on the interim route" in text_of(render("try-in", case, cast.dora))


def test_recorded_answers_are_ticked(cast):
    walk = cast.walk()
    walk.to(Stage.TRY_IN)
    row = walk.reload().try_ins.last()
    row.answers, row.words = {"plane": "change"}, {"plane": "lower at 26"}
    row.outcome = TryInOutcome.APPROVED_WITH_CHANGES
    row.decided_by, row.decided_at = cast.dora, timezone.now()
    row.save()

    text = text_of(render("try-in", walk.reload(), cast.dora))

    assert "The plane is parallel to the ala-tragus line: lower at 26 ☐ ☒ ☐" in text


def test_an_open_try_in_has_blanks_for_every_number_two_identifiers_and_its_code(cast):
    walk = cast.walk(patient_code="P-207")
    case = walk.to(Stage.TRY_IN)

    text = text_of(render("try-in", case, cast.lena))

    for label in (
        *("Vertical at rest mm", "Freeway space (rest less teeth together) mm"),
        *("Closest speaking space mm", "Incisal display at rest mm", "Incisal display smiling mm"),
        "Closing 3: ☐ same ☐ forward ☐ behind ☐ right ☐ left, off by mm",
        "☐ copied as shown ☐ changed as listed ☐ not asked",
        "not approved, what is marked redo is made again",
    ):
        assert label in text, label
    assert "P-207" in text
    assert f"{case.code}-R01-TI" in text
    assert "Not for diagnosis or treatment decisions" in text
