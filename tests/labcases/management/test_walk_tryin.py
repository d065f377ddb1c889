"""The try-in of a walk goes through the same verbs as the pages."""

import pytest

from labcases.enums import Stage, TryInOutcome
from labcases.management import walk_tryin
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_the_bench_check_and_the_verdict_are_of_the_people_whose_work_it_is():
    walk = world().walk()
    walk.to(Stage.TRY_IN)
    walk.judge_try_in(TryInOutcome.APPROVED_WITH_CHANGES)
    row = walk.reload().try_ins.get()

    assert (row.bench_check.done_by, row.decided_by) == (walk.hands.technician, walk.hands.dentist)
    assert row.words == {"width": "26 in by 1 mm"}


def test_there_is_nothing_to_judge_before_a_try_in_is_out():
    walk = world().walk()
    with pytest.raises(ValueError, match="no try-in to judge"):
        walk_tryin.judge(walk.case, walk.hands.dentist, TryInOutcome.APPROVED)
