"""On which days a house is open, and who says so."""

import random
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, available_timezones

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from labcases.domain import calendars
from labcases.enums import HouseDayKind, Side
from labcases.models import Case, HouseEntry, OfficeLink, Organisation
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

FRIDAY, SATURDAY, MONDAY = date(2026, 3, 27), date(2026, 3, 28), date(2026, 3, 30)


@pytest.fixture
def here():
    return world()


def close(here, first, last=None, reason="stock-taking"):
    return calendars.close(
        organisation=here.laboratory, first=first, last=last, reason=reason, by=here.mona
    )


def opened(here, *days):
    return [calendars.is_open(here.laboratory, day) for day in days]


def test_a_house_is_open_monday_to_friday_until_it_says_otherwise(here):
    assert opened(here, FRIDAY, SATURDAY, MONDAY) == [True, False, True]
    assert calendars.week_words(here.laboratory) == "Monday to Friday"


@pytest.mark.parametrize(
    ("weekdays", "words", "days"),
    [
        ([1, 2, 3, 4, 5, 6], "Monday to Saturday", [True, True, True]),
        ([6], "Saturday", [False, True, False]),
        ([1, 3, 5], "Monday, Wednesday and Friday", [True, False, True]),
        ([1, 2], "Monday and Tuesday", [False, False, True]),
        ([5, 1, 5], "Monday and Friday", [True, False, True]),
    ],
)
def test_a_week_of_its_own(here, weekdays, words, days):
    calendars.set_week(organisation=here.laboratory, weekdays=weekdays, by=here.mona)
    here.laboratory.refresh_from_db()
    assert calendars.week_words(here.laboratory) == words
    assert opened(here, FRIDAY, SATURDAY, MONDAY) == days


@pytest.mark.parametrize("weekdays", [[], [0], [8], [1, 9]])
def test_a_house_that_is_never_open_is_refused(here, weekdays):
    with pytest.raises(ValueError, match="Choose at least one weekday"):
        calendars.set_week(organisation=here.laboratory, weekdays=weekdays, by=here.mona)
    here.laboratory.refresh_from_db()
    assert here.laboratory.open_weekdays == "12345"


def test_a_closed_day_closes_one_house_and_only_that_day(here):
    assert close(here, MONDAY) == [MONDAY]
    assert opened(here, FRIDAY, MONDAY, date(2026, 3, 31)) == [True, False, True]
    assert calendars.is_open(here.office, MONDAY)
    row = here.laboratory.days.get()
    assert (row.reason, row.by) == ("stock-taking", here.mona)


def test_a_span_is_closed_and_what_was_closed_keeps_its_reason(here):
    close(here, MONDAY)
    new = close(here, FRIDAY, MONDAY, reason="moving")
    assert new == [FRIDAY, SATURDAY, date(2026, 3, 29)]
    assert [(row.on.day, row.reason) for row in here.laboratory.days.all()] == [
        *((27, "moving"), (28, "moving"), (29, "moving")),
        (30, "stock-taking"),
    ]


@pytest.mark.parametrize(
    ("last", "sentence"),
    [
        (date(2026, 3, 26), "The last day lies before the first."),
        (date(2026, 5, 26), "Close at most 60 days at once."),
    ],
)
def test_a_span_that_cannot_be_is_refused(here, last, sentence):
    with pytest.raises(ValueError, match=sentence):
        close(here, FRIDAY, last)
    assert not here.laboratory.days.exists()


def test_a_day_is_opened_again(here):
    close(here, MONDAY)
    calendars.reopen(row=here.laboratory.days.get(), by=here.mona)
    assert opened(here, MONDAY) == [True]


def test_those_in_charge_of_either_house_keep_its_calendar(here):
    kept = {
        (name, house.name)
        for name in ("dora", "farah", "tomas", "lena", "mona", "olga")
        for house in (here.office, here.laboratory)
        if calendars.may_keep(getattr(here, name), house)
    }
    assert kept == {("dora", "Ferry Street Office"), ("mona", "Tarn Lane Laboratory")}


def test_either_side_says_how_long_the_road_is(here):
    link = OfficeLink.objects.get(office=here.office, laboratory=here.laboratory)
    case = here.walk().case
    assert calendars.road_days(case) == 1
    assert calendars.sides_of(here.dora, link) == [Side.OFFICE]
    assert calendars.sides_of(here.mona, link) == [Side.LABORATORY]
    assert calendars.sides_of(here.olga, link) == calendars.sides_of(here.lena, link) == []

    calendars.set_road(link=link, days=3, side=Side.LABORATORY, by=here.mona)

    link.refresh_from_db()
    assert (link.road_days, link.road_set_side, link.road_set_by) == (3, "laboratory", here.mona)
    assert calendars.road_days(here.walk(patient_code="P-101").case) == 3


def test_two_houses_that_are_linked_no_more_keep_their_road(here):
    case = here.walk().case
    OfficeLink.objects.filter(office=here.office).update(active=False, road_days=2)
    assert calendars.road_days(case) == 2
    OfficeLink.objects.filter(office=here.office).delete()
    assert calendars.road_days(case) == 1


def test_hours_are_entered_together_and_in_their_order(here):
    house = here.laboratory
    calendars.set_hours(organisation=house, opens=time(8), closes=time(16, 30), by=here.mona)
    house.refresh_from_db()
    assert calendars.hours_words(house) == "08:00 to 16:30"

    for opens, closes, why in (
        (time(8), None, "Enter both"),
        (None, time(16), "Enter both"),
        (time(16), time(8), "It cannot close at 08:00 when it opens at 16:00"),
        (time(8), time(8), "It cannot close at 08:00"),
    ):
        with pytest.raises(ValueError, match=why):
            calendars.set_hours(organisation=house, opens=opens, closes=closes, by=here.mona)
    calendars.set_hours(organisation=house, opens=None, closes=None, by=here.mona)
    assert calendars.hours_words(house) == ""


def test_no_row_has_one_end_of_its_hours_or_closes_before_it_opens(here):
    rows = type(here.laboratory).objects.filter(pk=here.laboratory.pk)
    for opens, closes in ((time(8), None), (None, time(8)), (time(9), time(8))):
        with pytest.raises(IntegrityError), transaction.atomic():
            rows.update(opens_at=opens, closes_at=closes)


def test_half_days_of_the_week_and_single_ones_are_told_and_kept(here):
    calendars.set_week(
        organisation=here.laboratory, weekdays=[1, 2, 3, 4, 5], half=[3, 5], by=here.mona
    )
    close(here, MONDAY, reason="stock-taking")
    calendars.close(
        organisation=here.laboratory,
        **{"first": MONDAY, "last": None, "reason": "fair", "by": here.mona},
        kind=HouseDayKind.HALF,
    )
    here.laboratory.refresh_from_db()
    calendar = calendars.calendar_of(here.laboratory)

    words = "Monday to Friday, Wednesday and Friday for half the day"
    assert calendars.week_words(here.laboratory) == words
    # The last word on a day holds.
    assert [(row.kind, row.reason) for row in here.laboratory.days.all()] == [("half", "fair")]
    assert opened(here, FRIDAY, SATURDAY, MONDAY) == [True, False, True]
    assert [calendar.is_half(day) for day in (FRIDAY, SATURDAY, MONDAY)] == [True, False, True]
    assert not calendar.is_half(date(2026, 3, 31))


def test_a_half_day_lies_in_the_week(here):
    with pytest.raises(ValueError, match="Choose half days among the weekdays"):
        calendars.set_week(organisation=here.laboratory, weekdays=[1, 2], half=[3], by=here.mona)
    here.laboratory.refresh_from_db()
    assert here.laboratory.half_weekdays == ""


# --- time zones ----------------------------------------------------------------------------------

#: 18:30 on the 27th in Los Angeles, 15:30 on the 28th in Auckland, 02:30 on the 28th in UTC.
MOMENT = datetime(2026, 11, 28, 2, 30, tzinfo=UTC)


def at(monkeypatch, moment):
    monkeypatch.setattr(timezone, "now", lambda: moment)


def test_a_house_has_the_day_of_its_own_clocks(here, monkeypatch):
    calendars.set_zone(organisation=here.office, zone="America/Los_Angeles", by=here.dora)
    calendars.set_zone(organisation=here.laboratory, zone="Pacific/Auckland", by=here.mona)
    here.office.refresh_from_db()
    with monkeypatch.context() as then:
        at(then, MOMENT)
        assert calendars.today_of(here.office) == date(2026, 11, 27)
        assert calendars.today_of(here.laboratory) == date(2026, 11, 28)
    calendars.set_zone(organisation=here.office, zone="", by=here.dora)
    assert calendars.today_of(here.office) == timezone.localdate()
    entries = HouseEntry.objects.filter(organisation=here.office).order_by("pk")
    assert [row.changes for row in entries] == [
        {"time zone": ["", "America/Los_Angeles"]},
        {"time zone": ["America/Los_Angeles", ""]},
    ]


def test_a_zone_that_is_not_there_is_refused_and_one_that_went_is_the_servers(here):
    with pytest.raises(ValueError, match='There is no time zone "Mars/Olympus"'):
        calendars.set_zone(organisation=here.office, zone="Mars/Olympus", by=here.dora)
    for gone in ("Mars/Olympus", "../secret"):
        here.office.time_zone = gone
        assert calendars.zone_of(here.office) == timezone.get_default_timezone()


def test_dates_of_a_case_are_those_of_its_office_where_the_clocks_differ(here):
    case = Case(office=here.office, laboratory=here.laboratory)
    assert calendars.zone_words(case) == ""
    here.office.time_zone = here.laboratory.time_zone = "Europe/Paris"
    assert calendars.zone_words(case) == ""
    here.office.time_zone = "America/Los_Angeles"
    words = "Dates of this case are those of Ferry Street Office (America/Los_Angeles)."
    assert calendars.zone_words(case) == words


def test_whoever_reads_a_case_reads_the_same_day_in_a_thousand_pairs_of_zones(monkeypatch):
    """Thirteen hours ahead, eight behind, and a reader in a third zone: the office's day holds."""
    pick = random.Random(31)
    names = sorted(available_timezones())
    disagreed, differed = [], 0
    for _number in range(1000):
        office, laboratory, reader = (pick.choice(names) for _ in range(3))
        moment = MOMENT + timedelta(minutes=pick.randrange(10 * 365 * 24 * 60))
        at(monkeypatch, moment)
        case = Case(
            office=Organisation(time_zone=office), laboratory=Organisation(time_zone=laboratory)
        )
        read = set()
        for zone in (office, laboratory, reader):
            with timezone.override(ZoneInfo(zone)):
                read.add(calendars.today_of(case.office))
        if read != {moment.astimezone(ZoneInfo(office)).date()}:
            disagreed.append((office, laboratory, reader, moment))
        differed += calendars.today_of(case.laboratory) not in read
    assert disagreed == []
    # It matters: the two houses often stand on different days.
    assert differed > 150


def test_a_place_that_skipped_a_day_never_stands_on_it(monkeypatch):
    apia = Organisation(time_zone="Pacific/Apia")
    seen = []
    for hours in range(72):
        at(monkeypatch, datetime(2011, 12, 29, tzinfo=UTC) + timedelta(hours=hours))
        seen.append(str(calendars.today_of(apia)))
    assert list(dict.fromkeys(seen)) == ["2011-12-28", "2011-12-29", "2011-12-31", "2012-01-01"]
