"""The trimming as papers and pages take it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import trimming
from labcases.enums import Arch, Stage
from labcases.outputs import trimming_view
from tests.factories import world


@pytest.mark.django_db
def test_rows_stand_in_the_order_of_removal_and_in_the_readers_numbers():
    here = world()
    case = here.case_at(Stage.DRAFT)
    trimming.log(
        case=case,
        by=here.tomas,
        method="other",
        words="by a key",
        trims=[{"tooth": t, "labial_mm": Decimal("1")} for t in ("21", "13")],
    )
    told = trimming_view.build_context(case, "Universal")
    assert [(row.place, row.tooth, row.how, row.by) for row in told["trim_rows"]] == [
        (1, "9", "by a key", "Tomas Abelard"),
        (2, "6", "by a key", "Tomas Abelard"),
    ]
    assert told["trim_not_yet"] == "7 8 10 11"
    assert told["trim_inner"] == "Palatal"


def test_a_way_that_an_arch_does_not_allow_is_not_listed_for_it():
    upper = [way.method.value for way in trimming_view.listed(Arch.UPPER)]
    lower = [way.method.value for way in trimming_view.listed(Arch.LOWER)]
    assert set(upper) - set(lower) == {"socketed"}
