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
        (1, "9\u00a0(ISO\u00a021)", "by a key", "Tomas Abelard"),
        (2, "6\u00a0(ISO\u00a013)", "by a key", "Tomas Abelard"),
    ]
    assert told["trim_not_yet"] == "7 8 10 11"
    assert told["trim_inner"] == "Palatal"


@pytest.mark.django_db
def test_a_paper_says_once_what_is_gone_at_teeth_that_were_cut_alike():
    here = world()
    case = here.case_at(Stage.DRAFT)

    def cut(method, **trims):
        trimming.log(
            case=case,
            by=here.tomas,
            method=method,
            trims=[{"tooth": t[1:], "labial_mm": Decimal(mm)} for t, mm in trims.items()],
        )

    cut("alternate", _13="1.5", _11="1.5")
    told = "every second tooth; labially 1.5 mm"
    assert trimming_view.in_words(case, "Universal") == [f"In the order of removal: 6, 8: {told}"]
    cut("alternate", _12="2", _21="1.5")
    assert trimming_view.in_words(case, "ISO 3950") == [
        "Order of removal: 13, 11, 12, 21",
        f"13, 11, 21: {told}",
        "12: every second tooth; labially 2 mm",
    ]


def test_a_way_that_an_arch_does_not_allow_is_not_listed_for_it():
    upper = [way.method.value for way in trimming_view.listed(Arch.UPPER)]
    lower = [way.method.value for way in trimming_view.listed(Arch.LOWER)]
    assert set(upper) - set(lower) == {"socketed"}
