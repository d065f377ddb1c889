"""What came in a box stays contaminated until a disinfection that was long enough is logged."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from labcases.domain import box, disinfecting, gates
from labcases.domain.striking import AlreadyStruck
from labcases.enums import Stage
from labcases.models import Box, Disinfection
from tests.factories import world
from tests.labcases.domain.test_box import CLEAN, TO_LABORATORY, TO_OFFICE, pack

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

AT = datetime(2026, 3, 26, 14, 5, tzinfo=ZoneInfo("UTC"))
VALUES = {
    **{"agent": "iodophor", "label_minutes": 10, "actual_minutes": 12},
    **{"done_by": "Tomas Abelard", "done_at": AT},
}


def said(case):
    return [item.content for item in disinfecting.of_case(case)]


@pytest.fixture
def here():
    return world()


@pytest.fixture
def came(here):
    """A box at the laboratory: the impression came without a word about disinfection."""
    case = here.walk().ready(Stage.ACCEPTED)
    row = case.boxes.get()
    row.items.filter(content="impression").update(agent="", label_minutes=None)
    return row


@pytest.fixture
def impression(came):
    return came.items.get(content="impression")


class TestContaminated:
    def test_undeclared_and_too_short_are_named_and_photographs_are_not(self, here):
        row = pack(
            here.walk().case,
            here.farah,
            {"content": "impression", "count": 1},
            {"content": "cast", "count": 1, **CLEAN},
            {"content": "rim", "count": 1, **CLEAN, "actual_minutes": 2},
            {"content": "photographs", "count": 1},
        )
        assert said(row.case) == ["impression", "rim"]

    def test_it_stays_so_until_it_is_logged(self, here, came, impression):
        assert said(came.case) == ["impression"]
        disinfecting.log(item=impression, by=here.tomas, values=VALUES)
        assert said(came.case) == []

    def test_too_short_stays_flagged(self, here, came, impression):
        disinfecting.log(item=impression, by=here.tomas, values=VALUES | {"actual_minutes": 9})
        assert said(came.case) == ["impression"]
        disinfecting.log(item=impression, by=here.tomas, values=VALUES | {"actual_minutes": 10})
        assert said(came.case) == []

    def test_a_line_that_is_struck_out_counts_no_longer(self, here, came, impression):
        row = disinfecting.log(item=impression, by=here.tomas, values=VALUES)
        disinfecting.strike(row=row, reason="another case", by=here.tomas)
        assert said(came.case) == ["impression"]

    def test_who_did_it_is_asked_of_what_leaves_only(self, came):
        came.items.update(
            agent="spray", label_minutes=10, actual_minutes=10, disinfected_by="", count=1
        )
        assert said(came.case) == []

    def test_what_was_not_in_the_box_need_not_be_disinfected(self, came):
        came.items.update(received_count=0)
        assert said(came.case) == []

    def test_what_has_left_again_is_no_longer_in_the_house(self, here):
        walk = here.walk()
        case = walk.to(Stage.JAW_RECORDS)
        first = pack(case, here.farah, {"content": "tray", "count": 1, **CLEAN})
        box.send(box=first, by=here.farah)
        walk.take_in(TO_LABORATORY, by=here.lena)
        first.items.update(agent="")
        assert said(case) == ["tray"]
        back = pack(case, here.lena, {"content": "tray", "count": 1, **CLEAN}, direction=TO_OFFICE)
        box.send(box=back, by=here.lena)
        assert said(case) == []


class TestGate:
    def test_too_short_keeps_nothing_from_arriving(self, here):
        case = here.case_at(Stage.SENT)
        row = case.boxes.get()
        row.items.update(agent="", label_minutes=None, actual_minutes=None)
        box.receive(box=row, counts={item.pk: 1 for item in row.items.all()}, by=here.lena)
        row.refresh_from_db()
        assert row.received_by == here.lena

    def test_the_manager_may_go_on_without_it(self, came):
        (missing,) = gates.handled_safely(came.case)
        assert (missing.text, missing.part, missing.passable) == (
            "The impression came with no disinfection or one that was too short. Disinfect it "
            "and log it.",
            "boxes",
            "pass a manager's gate",
        )

    def test_an_impression_does_not_keep_the_casts_from_being_mounted(self, came):
        assert list(gates.records_handled_safely(came.case)) == []


class TestLog:
    def test_it_is_written_with_who_did_it_and_who_wrote_it(self, here, came, impression):
        row = disinfecting.log(item=impression, by=here.lena, values=VALUES)
        assert (row.done_by, row.by, row.done_at) == ("Tomas Abelard", here.lena, AT)
        entry = came.case.history.last()
        assert (entry.act, entry.part, entry.by) == ("entered", "disinfection", here.lena)
        assert entry.changes == {
            "line": [
                None,
                "Impression: iodophor, 12 of 10 min, by Tomas Abelard, "
                "26-Mar-2026\N{NO-BREAK SPACE}14:05",
            ]
        }

    def test_what_has_not_been_sent_is_declared_and_not_logged(self, here):
        row = pack(here.walk().case, here.farah, {"content": "cast", "count": 1})
        with pytest.raises(disinfecting.NotArrived, match="This box has not been sent"):
            disinfecting.log(item=row.items.get(), by=here.farah, values=VALUES)
        assert not Disinfection.objects.exists()

    def test_it_is_struck_out_once_and_stays(self, here, came, impression):
        row = disinfecting.log(item=impression, by=here.tomas, values=VALUES)
        disinfecting.strike(row=row, reason="another case", by=here.mona)
        with pytest.raises(AlreadyStruck):
            disinfecting.strike(row=row, reason="again", by=here.tomas)
        row.refresh_from_db()
        assert (row.struck_by, row.struck_reason) == (here.mona, "another case")
        entry = came.case.history.last()
        assert (entry.act, entry.part, entry.reason) == (
            *("struck out", "disinfection"),
            "another case",
        )


def test_a_box_is_not_packed_again_once_a_disinfection_of_what_is_in_it_is_logged(
    here, came, impression
):
    disinfecting.log(item=impression, values=VALUES, by=here.lena)
    Box.objects.filter(pk=came.pk).update(sent_at=None)
    with pytest.raises(box.AlreadyMoved, match="its contents stay as they are"):
        box.save(
            case=came.case,
            box=came,
            version=came.version,
            direction=came.direction,
            courier="own round",
            items=[{"content": "cast", "count": 1, **CLEAN}],
            by=here.farah,
        )
    assert came.items.filter(content="impression").exists()
