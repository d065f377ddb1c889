"""What a line of the trimming cleans to."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import trimming
from labcases.enums import Stage
from labcases.forms.trimming import TrimForm
from tests.factories import world

D = Decimal


@pytest.mark.django_db
def test_the_order_is_kept_and_the_next_line_starts_where_this_one_ended():
    here = world()
    case = here.case_at(Stage.DRAFT)
    form = TrimForm(
        {"method": "staged", "words": "not for this way", "order": "21 11", "all-labial_mm": "1,5"},
        case=case,
    )
    assert form.is_valid(), form.errors
    assert form.values() == {
        "method": "staged",
        "words": "",
        "note": "",
        "trims": [
            {
                "tooth": tooth,
                "labial_mm": D("1.5"),
                "crest_mm": None,
                "palatal_mm": None,
                "apical_third": False,
            }
            for tooth in ("21", "11")
        ],
    }
    trimming.log(case=case, by=here.tomas, **form.values())
    follows = TrimForm(case=case)
    assert follows.initial["method"] == "staged"
    assert follows.initial["order"] == "13 12 22 23"
