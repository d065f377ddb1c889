"""The try-in checklist: boxes to tick, and what was ticked."""

import pytest
from django.utils import timezone

from labcases.enums import Stage, TryInOutcome
from tests import needs
from tests.labcases.outputs.printed import render, text_of

pytestmark = [needs.pango, pytest.mark.django_db]


def test_try_in_checklist_has_three_boxes_a_line_and_the_recorded_verdict(cast, handed_over):
    text = text_of(render("try-in", handed_over, cast.dora))

    assert "The pin is flush and touches the table ☐ ☐ ☐" in text
    assert "Approved, Dora Winsley" in text
    assert "Vertical in the mouth: 68 mm" in text


def test_try_in_checklist_of_an_interim_case_says_that_there_is_none(cast):
    case = cast.walk().to(Stage.SENT, route="interim")

    assert "No try-in exists on the interim route" in text_of(render("try-in", case, cast.dora))


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
