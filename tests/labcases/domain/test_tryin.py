"""The try-in's verdict, and an approval that does not outlive a change."""

from decimal import Decimal

import pytest

from labcases.domain import tryin
from labcases.domain.versions import EditConflict
from labcases.enums import Stage, TryInOutcome
from labcases.models import FinalWax
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


class TestFinalWax:
    @pytest.fixture
    def walk(self):
        walk = world().walk()
        walk.to(Stage.FINAL_WAX)
        walk.wax()
        walk.approve_wax()
        return walk

    def stored(self, walk):
        return FinalWax.objects.get(case=walk.case)

    def change(self, walk, **values):
        tryin.save_final_wax(
            case=walk.reload(),
            version=self.stored(walk).version,
            by=walk.hands.technician,
            values=values,
        )

    def test_an_approval_covers_wax_and_trimming_for_the_prescription_in_force(self, walk):
        row = self.stored(walk)
        assert row.approved_by == walk.hands.dentist
        assert row.trimming_approved
        assert row.approved_digest == walk.case.prescription.digest

    def test_a_later_change_takes_the_whole_approval_back(self, walk):
        self.change(walk, overjet_mm=D("2.75"))
        row = self.stored(walk)
        assert (row.approved_at, row.approved_by, row.approved_digest) == (None, None, "")
        assert not row.trimming_approved

    def test_a_save_that_changes_nothing_leaves_the_approval(self, walk):
        self.change(walk, overjet_mm=D("2"))
        assert self.stored(walk).approved_at is not None

    def test_values_that_a_form_wrote_into_the_row_in_hand_still_count_as_a_change(self, walk):
        case = walk.reload()
        case.final_wax.overjet_mm = D("2.75")
        tryin.save_final_wax(
            case=case,
            version=case.final_wax.version,
            by=walk.hands.technician,
            values={"overjet_mm": D("2.75")},
        )
        assert self.stored(walk).approved_at is None

    def test_a_wax_that_changed_meanwhile_is_not_approved_unseen(self, walk):
        seen = self.stored(walk).version
        self.change(walk, overjet_mm=D("2.75"))
        with pytest.raises(EditConflict):
            tryin.approve_final_wax(case=walk.reload(), version=seen, by=walk.hands.dentist)
        assert self.stored(walk).approved_at is None
