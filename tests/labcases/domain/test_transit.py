"""When a box is expected, and by how many open days of its receiver it is overdue."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from labcases.domain import calendars, transit
from labcases.enums import BoxDirection, Side
from labcases.models import Box, OfficeLink
from tests.factories import world

pytestmark = pytest.mark.django_db

UTC = ZoneInfo("UTC")


@pytest.fixture
def here():
    return world()


def sent(here, on, direction=BoxDirection.TO_LABORATORY):
    return Box(
        case=here.walk().case,
        direction=direction,
        sent_at=datetime.fromisoformat(on).replace(hour=12, tzinfo=UTC),
    )


def road(here, days):
    link = OfficeLink.objects.get(office=here.office, laboratory=here.laboratory)
    calendars.set_road(link=link, days=days, side=Side.OFFICE, by=here.dora)


#: sent on, today | expected by, overdue by (one day on the road, open Monday to Friday)
OVERDUE = """
Mon 2026-11-23 Mon 2026-11-23 Tue 2026-11-24 0
Mon 2026-11-23 Tue 2026-11-24 Tue 2026-11-24 0
Mon 2026-11-23 Wed 2026-11-25 Tue 2026-11-24 1
Thu 2026-11-26 Fri 2026-11-27 Fri 2026-11-27 0
Thu 2026-11-26 Sat 2026-11-28 Fri 2026-11-27 0
Thu 2026-11-26 Sun 2026-11-29 Fri 2026-11-27 0
Thu 2026-11-26 Mon 2026-11-30 Fri 2026-11-27 1
Fri 2026-11-27 Mon 2026-11-30 Mon 2026-11-30 0
Fri 2026-11-27 Tue 2026-12-01 Mon 2026-11-30 1
Sat 2026-11-28 Mon 2026-11-30 Mon 2026-11-30 0
Sun 2026-11-29 Wed 2026-12-02 Mon 2026-11-30 2
"""


@pytest.mark.parametrize("row", [one.split() for one in OVERDUE.strip().splitlines()], ids=" ".join)
def test_a_box_is_overdue_by_open_days_of_the_receiver(here, row):
    _day, on, _day, today, _day, expected, days = row
    one = sent(here, on)
    assert transit.expected_on(one) == date.fromisoformat(expected)
    assert transit.overdue_days(one, date.fromisoformat(today)) == int(days)
    one.received_at = one.sent_at
    assert transit.overdue_days(one, date.fromisoformat(today)) == 0


def test_a_box_that_has_not_left_is_expected_on_no_day():
    assert (transit.expected_on(Box()), transit.overdue_days(Box())) == (None, 0)


#: weekdays, closed days, days on the road | sent on Fri 27-Mar-2026, expected by
EXPECTED = [
    ("12345", (), 1, "2026-03-30"),
    ("12345", ("2026-03-30",), 1, "2026-03-31"),
    ("12345", ("2026-03-30", "2026-03-31"), 1, "2026-04-01"),
    ("123456", (), 1, "2026-03-28"),
    ("24", (), 1, "2026-03-31"),
    ("12345", (), 3, "2026-04-01"),
    ("12345", ("2026-03-31",), 2, "2026-04-01"),
    ("12345", (), 0, "2026-03-27"),
    ("12345", ("2026-03-27",), 0, "2026-03-30"),
    ("1234", (), 0, "2026-03-30"),
]


@pytest.mark.parametrize(("weekdays", "closed", "days", "expected"), EXPECTED)
def test_it_is_expected_on_a_day_on_which_the_receiver_is_open(
    here, weekdays, closed, days, expected
):
    house = here.laboratory
    calendars.set_week(organisation=house, weekdays=[int(one) for one in weekdays], by=here.mona)
    for day in closed:
        first = date.fromisoformat(day)
        calendars.close(organisation=house, first=first, last=None, reason="stock", by=here.mona)
    road(here, days)
    assert transit.expected_on(sent(here, "2026-03-27")) == date.fromisoformat(expected)


def test_closed_days_of_the_house_that_sends_it_count_for_nothing(here):
    monday = date(2026, 3, 30)
    calendars.close(
        organisation=here.office, first=monday, last=None, reason="moving", by=here.dora
    )
    to_laboratory, back = (sent(here, "2026-03-27", way) for way in BoxDirection)
    assert transit.expected_on(to_laboratory) == monday
    assert transit.expected_on(back) == date(2026, 3, 31)


def test_closed_days_do_not_count_as_overdue(here):
    one = sent(here, "2026-03-27")
    assert transit.overdue_days(one, date(2026, 4, 2)) == 3
    calendars.close(
        organisation=here.laboratory,
        first=date(2026, 3, 31),
        last=date(2026, 4, 1),
        reason="stock-taking",
        by=here.mona,
    )
    assert transit.overdue_days(one, date(2026, 4, 1)) == 0
    assert transit.overdue_days(one, date(2026, 4, 2)) == 1
