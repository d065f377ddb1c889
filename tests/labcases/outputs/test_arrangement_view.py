"""Deviations in the words of the page."""

from __future__ import annotations

import pytest

from labcases.domain import arrangement
from labcases.enums import Stage
from labcases.outputs import arrangement_view
from tests.factories import world


@pytest.mark.django_db
def test_a_deviation_is_shown_in_the_readers_numbers_and_whether_it_was_asked():
    here = world()
    case = here.case_at(Stage.DRAFT)
    arrangement.log(
        case=case, by=here.tomas, tooth="21", deviation="shorter", wanted_by="technician"
    )
    (row,) = arrangement_view.build_context(case, "Universal")["deviations"]
    assert (row.tooth, row.words, row.wanted_by, row.unasked) == (
        "9",
        "shorter",
        "The technician",
        True,
    )
    assert (row.proposal, row.glyph, row.said) == (None, "", "")
