"""The handoff freezes and moves or does nothing; the second look needs a second person."""

from decimal import Decimal

import pytest

from labcases.domain import processing, stages
from labcases.enums import BaseMaterial, Role, Stage
from labcases.models import Handoff, Release
from tests.factories import MembershipFactory, world

pytestmark = pytest.mark.django_db

D = Decimal
VALUES = {"base_material": BaseMaterial.HEAT_CURED, "base_product": "resin", "index_made": True}


def ready():
    """A case in final wax with everything that processing needs."""
    walk = world().walk()
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    walk.approve_wax()
    return walk


class TestHandOver:
    def test_a_handoff_freezes_and_moves_in_one(self):
        walk = ready()
        handoff = processing.hand_over(case=walk.reload(), by=walk.hands.technician, values=VALUES)
        assert walk.reload().stage == Stage.PROCESSING
        assert (handoff.number, handoff.revision) == (1, 1)
        assert handoff.frozen["inputs"]["clearance"]["articulator"]["condylar_left_deg"] == 30.0
        assert set(handoff.frozen["findings"]) == {"clearance", "height budget"}
        assert handoff.frozen["engine_version"] == handoff.engine_version
        assert handoff.frozen["prescription"]["digest"] == walk.case.prescription.digest

    def test_a_refused_handoff_leaves_nothing_behind(self):
        walk = world().walk()
        case = walk.to(Stage.FINAL_WAX)
        before = case.history.count()
        with pytest.raises(stages.Refused) as refused:
            processing.hand_over(case=case, by=walk.hands.technician, values=VALUES)
        assert [item.text for item in refused.value.items] == ["Enter the final wax."]
        assert not Handoff.objects.exists()
        assert case.history.count() == before
        assert walk.reload().stage == Stage.FINAL_WAX

    def test_a_stale_check_stops_it(self):
        walk = ready()
        walk.settings["condylar_right_deg"] = D("40")
        walk.enter_settings()
        with pytest.raises(stages.Refused) as refused:
            processing.hand_over(case=walk.reload(), by=walk.hands.technician, values=VALUES)
        assert [item.part for item in refused.value.items] == ["check"]

    def test_a_pin_that_does_not_balance_stops_it(self):
        walk = ready()
        walk.log("pin reading", after_mm=D("0.5"))
        with pytest.raises(stages.Refused) as refused:
            processing.hand_over(case=walk.reload(), by=walk.hands.technician, values=VALUES)
        assert [item.part for item in refused.value.items] == ["setup"]

    def test_who_may_not_work_at_the_bench_may_not_hand_over(self):
        walk = ready()
        with pytest.raises(stages.NotAllowed):
            processing.hand_over(case=walk.reload(), by=walk.hands.dentist, values=VALUES)
        assert not Handoff.objects.exists()

    def test_only_the_try_in_is_passed_and_only_with_a_dentists_reason(self):
        walk = ready()
        walk.case.bench_checks.all().delete()
        walk.case.try_ins.all().delete()
        hand_over = {"case": walk.reload(), "values": VALUES}
        with pytest.raises(stages.Refused):
            processing.hand_over(**hand_over, by=walk.hands.technician, reason="no time")
        MembershipFactory(
            user=walk.hands.technician, organisation=walk.case.office, role=Role.DENTIST
        )
        with pytest.raises(stages.Refused):
            processing.hand_over(**hand_over, by=walk.hands.technician)
        processing.hand_over(**hand_over, by=walk.hands.technician, reason="seen at the chair")
        entry = walk.case.history.filter(act="passed a gate").get()
        assert entry.reason.startswith("seen at the chair (open: The try-in is not approved.")


class TestRelease:
    @pytest.fixture
    def walk(self):
        walk = world().walk()
        walk.to(Stage.REMOUNT)
        processing.save_release(
            case=walk.reload(),
            version=0,
            by=walk.hands.technician,
            values={"agent": "spray"},
        )
        return walk

    def look(self, walk, by):
        row = Release.objects.get(case=walk.case)
        return processing.look_again(case=walk.reload(), version=row.version, by=by)

    def test_who_finished_it_does_not_look_again(self, walk):
        with pytest.raises(processing.SamePerson) as refused:
            self.look(walk, walk.hands.technician)
        assert str(refused.value) == (
            "You finished this denture. A second person looks at it before it is released."
        )

    def test_a_second_person_looks(self, walk):
        row = self.look(walk, walk.hands.manager)
        assert (row.second_look_by, row.finished_by) == (
            walk.hands.manager,
            walk.hands.technician,
        )

    def test_a_later_change_asks_for_another_look(self, walk):
        row = self.look(walk, walk.hands.manager)
        processing.save_release(
            case=walk.reload(),
            version=row.version,
            by=walk.hands.technician,
            values={"agent": "bath"},
        )
        assert Release.objects.get(case=walk.case).second_look_at is None
