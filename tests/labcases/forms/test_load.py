"""The moves of a levelling on their way through a page."""

from datetime import date

import pytest

from labcases.domain.bench_plan import Wish
from labcases.enums.load import BenchJob
from labcases.forms.load import move_text, read_moves


def test_what_the_page_was_given_is_what_it_gives_back():
    told = [
        move_text("ABCD2345WXYZ", "wax-up", date(2027, 3, 12)),
        move_text("ABCD2345WXYZ", "flasking", date(2027, 3, 15)),
    ]
    assert told[0] == "ABCD2345WXYZ wax-up 2027-03-12"
    assert read_moves(told) == [
        Wish("ABCD2345WXYZ", BenchJob.WAX_UP, date(2027, 3, 12)),
        Wish("ABCD2345WXYZ", BenchJob.FLASKING, date(2027, 3, 15)),
    ]


@pytest.mark.parametrize(
    "told",
    [
        [],
        ["A wax-up"],
        ["A wax-up 2027-03-12", "A polish 2027-03-12"],
        ["A wax-up 12-Mar-2027"],
        ["A wax-up 2027-03-12 more"],
        ["A wax-up 0000-00-00"],
    ],
)
def test_a_proposal_that_was_changed_on_the_way_is_not_whole(told):
    with pytest.raises(ValueError, match="did not arrive whole"):
        read_moves(told)
