"""Boxes that are lost or not ours, and boxes that nobody announced."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases.domain import box, disinfecting, gates, transit
from labcases.domain.inventory import inventory
from labcases.enums import Stage
from labcases.models import Box
from tests.factories import world
from tests.labcases.domain.test_box import CLEAN, TO_OFFICE, pack

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def here():
    return world()


@pytest.fixture
def sent(here):
    """A box with an impression and photographs, on its way to the laboratory."""
    return here.case_at(Stage.SENT).boxes.get()


def where(case):
    return {
        held.content.value: (held.laboratory, held.office, held.under_way, held.missing)
        for held in inventory(case.boxes.all())
    }


def take_in(row, by):
    return box.receive(box=row, counts={item.pk: item.count for item in row.items.all()}, by=by)


class TestLost:
    def test_what_was_in_it_is_missing_until_it_turns_up(self, here, sent):
        assert where(sent.case)["impression"] == (0, 0, 1, 0)
        box.report_lost(box=sent, note="The courier has no trace of it.", by=here.farah)
        assert where(sent.case)["impression"] == (0, 0, 0, 1)
        box.turned_up(box=sent, by=here.lena)
        assert where(sent.case)["impression"] == (0, 0, 1, 0)
        sent.refresh_from_db()
        take_in(sent, here.lena)
        assert where(sent.case)["impression"] == (1, 0, 0, 0)

    def test_it_is_overdue_no_more_and_expected_anew_once_it_turned_up(self, here, sent):
        Box.objects.filter(pk=sent.pk).update(sent_at=timezone.now() - timedelta(days=28))
        sent.refresh_from_db()
        assert transit.overdue_days(sent) > 15
        lost = box.report_lost(box=sent, note="No trace.", by=here.lena)
        assert transit.overdue_days(lost) == 0
        found = box.turned_up(box=lost, by=here.lena)
        assert transit.overdue_days(found) == 0
        expected = transit.expected_on(found)
        assert isinstance(expected, date)
        assert expected > timezone.localdate()

    def test_it_is_written_who_said_what(self, here, sent):
        box.report_lost(box=sent, note="No trace.", by=here.farah)
        entry = sent.case.history.last()
        assert (entry.act, entry.by, entry.reason) == ("reported", here.farah, "No trace.")
        assert entry.changes == {"box": ["to the laboratory", "lost"]}
        box.turned_up(box=sent, by=here.lena)
        entry = sent.case.history.last()
        assert (entry.act, entry.by) == ("turned up", here.lena)
        assert entry.changes == {"box": ["lost", "to the laboratory"]}

    def test_it_is_reported_once_and_taken_in_only_after_it_turned_up(self, here, sent):
        box.report_lost(box=sent, note="No trace.", by=here.farah)
        with pytest.raises(box.AlreadyMoved, match="is reported already"):
            box.report_lost(box=sent, note="Again.", by=here.lena)
        with pytest.raises(box.AlreadyMoved, match="Say first that it turned up"):
            take_in(sent, here.lena)
        box.turned_up(box=sent, by=here.lena)
        with pytest.raises(box.AlreadyMoved, match="Nobody has reported this box"):
            box.turned_up(box=sent, by=here.farah)

    def test_a_box_that_was_counted_or_never_left_is_not_lost(self, here, sent):
        take_in(sent, here.lena)
        with pytest.raises(box.AlreadyMoved, match="was taken in"):
            box.report_lost(box=sent, note="No trace.", by=here.lena)
        packed = pack(sent.case, here.farah, {"content": "cast", "count": 1, **CLEAN})
        with pytest.raises(box.AlreadyMoved, match="has not been sent"):
            box.report_lost(box=packed, note="No trace.", by=here.farah)

    def test_nothing_of_it_is_to_be_disinfected(self, here, sent):
        sent.items.update(agent="")
        assert [item.content for item in disinfecting.of_case(sent.case)] == ["impression"]
        box.report_lost(box=sent, note="No trace.", by=here.lena)
        assert disinfecting.of_case(sent.case) == []


class TestNotOurs:
    def test_a_counted_box_of_another_case_holds_nothing_of_this_one(self, here, sent):
        sent.items.update(agent="")
        take_in(sent, here.lena)
        box.report_wrong(box=sent, note="The slip names another case.", by=here.tomas)
        assert where(sent.case)["impression"] == (0, 0, 0, 1)
        # Whoever touches it still has to know.
        assert [item.content for item in disinfecting.of_case(sent.case)] == ["impression"]
        box.turned_up(box=sent, by=here.tomas)
        assert where(sent.case)["impression"] == (1, 0, 0, 0)

    def test_a_jaw_record_in_it_is_asked_for_again(self, here):
        case = here.walk().ready(Stage.MOUNTING)
        assert list(gates.jaw_record_here(case)) == []
        box.report_wrong(box=case.boxes.last(), note="Another patient.", by=here.tomas)
        (missing,) = gates.jaw_record_here(case)
        assert missing.text == "No jaw record has been counted in at the laboratory."

    def test_a_denture_in_it_has_not_arrived(self, here):
        case = here.walk().ready(Stage.RECEIVED)
        assert list(gates.denture_arrived(case)) == []
        row = case.boxes.filter(direction=TO_OFFICE).last()
        box.report_wrong(box=row, note="Another patient.", by=here.farah)
        (missing,) = gates.denture_arrived(case)
        assert missing.text == "Take in the box with the denture and count it."
