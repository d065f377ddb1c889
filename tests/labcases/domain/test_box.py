"""Boxes: what may leave, with whom it leaves, and what was counted out of them."""

import pytest
from django.utils import timezone

from labcases.domain import box, disinfecting, gates
from labcases.domain.versions import EditConflict
from labcases.enums import BoxContent, BoxDirection, Role, Stage
from labcases.models import Box, Case
from tests.factories import MembershipFactory, world

pytestmark = pytest.mark.django_db

CLEAN = {
    **{"agent": "spray", "label_minutes": 10, "actual_minutes": 10},
    "disinfected_by": "Farah Kline",
}
TO_LABORATORY, TO_OFFICE = BoxDirection.TO_LABORATORY, BoxDirection.TO_OFFICE


def pack(case, by, *items, direction=TO_LABORATORY, courier="own round"):
    return box.save(
        case=case,
        box=None,
        version=0,
        direction=direction,
        courier=courier,
        items=items,
        by=by,
    )


def lacks(row):
    return [item.text for item in gates.box_may_leave(row)]


class TestPacking:
    def test_contents_are_written_once_into_the_history(self):
        here = world()
        case = here.walk().case
        before = case.history.count()
        pack(case, here.farah, {"content": "impression", "count": 2, **CLEAN})
        assert case.history.count() == before + 1
        assert case.history.last().changes == {"contents": [None, "2 x impression"]}

    def test_packing_again_replaces_what_was_in_it(self):
        here = world()
        row = pack(here.walk().case, here.farah, {"content": "impression", "count": 1, **CLEAN})
        again = box.save(
            case=row.case,
            box=row,
            version=row.version,
            direction=row.direction,
            courier="bike",
            items=[{"content": "cast", "count": 2, **CLEAN}],
            by=here.dora,
        )
        assert [str(item) for item in again.items.all()] == ["2 x cast"]
        assert (again.courier, again.version) == ("bike", 2)

    def test_the_slower_of_two_packers_changes_nothing(self):
        here = world()
        row = pack(here.walk().case, here.farah, {"content": "impression", "count": 1, **CLEAN})
        keys = {"case": row.case, "box": row, "version": 1, "direction": row.direction}
        box.save(**keys, courier="bike", items=[{"content": "cast", "count": 2}], by=here.dora)
        with pytest.raises(EditConflict):
            box.save(**keys, courier="van", items=[{"content": "tray", "count": 1}], by=here.farah)
        row.refresh_from_db()
        assert row.courier == "bike"
        assert [str(item) for item in row.items.all()] == ["2 x cast"]

    def test_a_box_that_has_left_is_not_packed_again(self):
        here = world()
        case = here.case_at(Stage.SENT)
        with pytest.raises(box.AlreadyMoved, match="This box has left"):
            box.save(
                case=case,
                box=case.boxes.get(),
                version=1,
                direction=TO_LABORATORY,
                courier="",
                items=[],
                by=here.farah,
            )

    def test_a_box_that_left_and_was_disinfected_meanwhile_is_not_packed_again(self):
        here = world()
        row = pack(here.walk().case, here.farah, {"content": "impression", "count": 1, **CLEAN})
        Box.objects.filter(pk=row.pk).update(sent_at=timezone.now(), sent_by=here.farah)
        disinfecting.log(
            item=Box.objects.get(pk=row.pk).items.get(),
            by=here.tomas,
            values={
                **{"agent": "immersion", "label_minutes": 10, "actual_minutes": 10},
                **{"done_by": "TR", "done_at": timezone.now()},
            },
        )
        # The packer's row is the one from before: nothing of it says that the box has left.
        with pytest.raises(box.AlreadyMoved, match="This box has left"):
            box.save(
                case=row.case,
                box=row,
                version=row.version,
                direction=row.direction,
                courier="",
                items=[{"content": "cast", "count": 1}],
                by=here.dora,
            )
        assert [str(item) for item in row.items.all()] == ["1 x impression"]


class TestMayLeave:
    def test_an_empty_box_stays(self):
        here = world()
        assert lacks(pack(here.walk().case, here.farah)) == [
            "The box is empty. Enter what is in it."
        ]

    @pytest.mark.parametrize("content", [c for c in BoxContent if c != BoxContent.PHOTOGRAPHS])
    def test_everything_that_was_near_a_mouth_is_declared_first(self, content):
        here = world()
        row = pack(here.case_at(Stage.RELEASED), here.farah, {"content": content, "count": 1})
        assert lacks(row) == [
            f"Enter how the {content.label.lower()} was disinfected: agent, minutes on the label, "
            "minutes given and by whom."
        ]

    def test_photographs_leave_as_they_are(self):
        here = world()
        row = pack(here.walk().case, here.farah, {"content": "photographs", "count": 4})
        assert lacks(row) == []

    @pytest.mark.parametrize(("given", "open_points"), [(9, 1), (10, 0), (11, 0)])
    def test_the_minutes_given_reach_the_minutes_on_the_label(self, given, open_points):
        here = world()
        item = {"content": "cast", "count": 1, **CLEAN, "actual_minutes": given}
        assert len(lacks(pack(here.walk().case, here.farah, item))) == open_points

    @pytest.mark.parametrize(
        ("stage", "stays"),
        [(Stage.SET_UP, True), (Stage.FINISHING, True), (Stage.RELEASED, False)],
    )
    def test_a_denture_stays_until_it_is_released(self, stage, stays):
        here = world()
        item = {"content": "denture", "count": 1, **CLEAN}
        row = pack(here.case_at(stage), here.lena, item, direction=TO_OFFICE)
        assert any("The denture is not released yet" in text for text in lacks(row)) is stays


class TestSending:
    def test_a_box_that_may_not_leave_stays(self):
        here = world()
        case = here.case_at(Stage.JAW_RECORDS)
        row = pack(case, here.farah, {"content": "jaw record", "count": 1})
        with pytest.raises(box.MayNotLeave) as refused:
            box.send(box=row, by=here.farah)
        assert "Enter how the jaw record was disinfected" in str(refused.value)
        row.refresh_from_db()
        assert row.sent_at is None

    def test_a_box_is_sent_once(self):
        here = world()
        case = here.case_at(Stage.JAW_RECORDS)
        row = pack(case, here.farah, {"content": "jaw record", "count": 1, **CLEAN})
        box.send(box=row, by=here.farah)
        with pytest.raises(box.AlreadyMoved):
            box.send(box=row, by=here.dora)
        row.refresh_from_db()
        assert row.sent_by == here.farah

    def test_the_first_box_does_not_go_past_the_gate_of_the_case(self):
        here = world()
        case = here.case_at(Stage.DRAFT)
        row = pack(case, here.farah, {"content": "impression", "count": 1, **CLEAN})
        assert box.leaves_with(row) == Stage.SENT
        with pytest.raises(box.MayNotLeave, match="This box leaves when the case is sent"):
            box.send(box=row, by=here.farah)

    def test_a_denture_leaves_with_the_case_and_a_wax_set_up_on_its_own(self):
        here = world()
        released = here.case_at(Stage.RELEASED)
        denture = pack(
            released, here.lena, {"content": "denture", "count": 1, **CLEAN}, direction=TO_OFFICE
        )
        tray = pack(
            released, here.lena, {"content": "tray", "count": 1, **CLEAN}, direction=TO_OFFICE
        )
        assert box.leaves_with(denture) == Stage.DISPATCHED
        assert box.leaves_with(tray) is None

    def test_what_is_packed_beside_a_denture_may_not_leave_undeclared(self):
        here = world()
        walk = here.walk()
        case = walk.to(Stage.RELEASED)
        walk.pack(TO_OFFICE, BoxContent.DENTURE, by=here.lena)
        pack(case, here.lena, {"content": "template", "count": 1}, direction=TO_OFFICE)
        said = [item.text for item in gates.denture_packed(case)]
        assert said == [
            "Enter how the surgical template was disinfected: agent, minutes on the label, "
            "minutes given and by whom."
        ]


class TestTakingIn:
    def test_counts_are_stored_and_only_differences_are_told(self):
        here = world()
        case = here.case_at(Stage.SENT)
        row = case.boxes.get()
        impression, photographs = row.items.all()
        box.receive(box=row, counts={impression.pk: 3, photographs.pk: 1}, by=here.lena)
        impression.refresh_from_db()
        assert impression.received_count == 3
        assert case.history.last().changes == {"Impression": [1, 3]}

    def test_a_box_is_taken_in_once(self):
        here = world()
        row = here.case_at(Stage.SENT).boxes.get()
        counts = {item.pk: 1 for item in row.items.all()}
        box.receive(box=row, counts=counts, by=here.lena)
        with pytest.raises(box.AlreadyMoved):
            box.receive(box=row, counts=dict.fromkeys(counts, 0), by=here.tomas)
        assert {item.received_count for item in row.items.all()} == {1}

    def test_a_box_that_was_not_sent_is_not_taken_in(self):
        here = world()
        row = pack(here.walk().case, here.farah, {"content": "cast", "count": 1, **CLEAN})
        with pytest.raises(box.AlreadyMoved, match="has not been sent yet"):
            box.receive(box=row, counts={row.items.get().pk: 1}, by=here.lena)
        row.refresh_from_db()
        assert row.received_at is None


class TestWhose:
    def test_each_house_sends_away_from_itself(self):
        here = world()
        case = here.walk().case
        assert box.ways_of(here.dora, case) == [TO_LABORATORY]
        assert box.ways_of(here.farah, case) == [TO_LABORATORY]
        for person in (here.tomas, here.lena, here.mona):
            assert box.ways_of(person, case) == [TO_OFFICE]
        assert box.ways_of(here.olga, case) == []

    def test_each_house_takes_in_what_comes_to_it(self):
        here = world()
        case = here.walk().case
        towards = Box(case=case, direction=TO_LABORATORY)
        back = Box(case=case, direction=TO_OFFICE)
        for person in (here.tomas, here.lena, here.mona):
            assert (box.may_take_in(person, towards), box.may_take_in(person, back)) == (
                True,
                False,
            )
        for person in (here.dora, here.farah):
            assert (box.may_take_in(person, towards), box.may_take_in(person, back)) == (
                False,
                True,
            )
        assert box.may_take_in(here.olga, towards) is False

    def test_a_dentist_with_an_own_laboratory_may_send_both_ways(self):
        here = world()
        case = here.walk().case
        house = case.laboratory
        MembershipFactory(user=here.dora, organisation=house, role=Role.DENTIST)
        MembershipFactory(user=here.dora, organisation=house, role=Role.TECHNICIAN)
        Case.objects.filter(pk=case.pk).update(office=house)
        case.refresh_from_db()
        assert box.ways_of(here.dora, case) == [TO_LABORATORY, TO_OFFICE]
