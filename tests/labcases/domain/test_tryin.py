"""The try-in's verdict."""

from decimal import Decimal

import pytest

from labcases.domain import tryin
from labcases.domain.versions import EditConflict
from labcases.enums import Stage, TryInOutcome
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


class TestTryIn:
    def test_a_verdict_is_bound_to_the_dentist_and_the_revision_in_force(self):
        walk = world().walk()
        walk.to(Stage.TRY_IN)
        walk.judge_try_in(TryInOutcome.NEW_RECORD)
        row = walk.reload().try_ins.get()
        assert (row.outcome, row.revision) == ("new record", 1)
        assert row.decided_by == walk.hands.dentist
        assert row.decided_at is not None
        assert row.vertical_mm == D("68")

    def test_the_verdict_stands_in_history_once(self):
        walk = world().walk()
        case = walk.to(Stage.TRY_IN)
        walk.judge_try_in()
        (entry,) = case.history.filter(part="try-in")
        assert (entry.act, entry.by) == ("recorded", walk.hands.dentist)

    def test_nothing_is_recorded_before_a_try_in_is_out(self):
        here = world()
        case = here.case_at(Stage.SET_UP)
        with pytest.raises(ValueError, match="No try-in has been sent out for this case"):
            tryin.record(case=case, version=0, by=here.dora, values={"outcome": "approved"})

    def test_a_second_dentist_sees_what_the_first_recorded(self):
        walk = world().walk()
        case = walk.to(Stage.TRY_IN)
        walk.judge_try_in()
        with pytest.raises(EditConflict) as refused:
            tryin.record(
                case=case,
                version=1,
                by=walk.hands.dentist,
                values={"outcome": TryInOutcome.NEW_RECORD},
            )
        stored = {clash.field: clash.stored for clash in refused.value.clashes}
        assert stored["outcome"] == "approved"
