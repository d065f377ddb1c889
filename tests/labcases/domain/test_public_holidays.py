"""A house keeps a list of public holidays, works on some of them, and is told of bridge days."""

from datetime import date, timedelta

import pytest

from labcases.domain import calendars, public_holidays
from labcases.models import HouseDay, HouseEntry
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

ASCENSION, BRIDGE = date(2026, 5, 14), date(2026, 5, 15)
GOOD_FRIDAY = date(2026, 4, 3)


@pytest.fixture
def here():
    return world()


def keep(here, region, house=None):
    return public_holidays.set_region(
        organisation=house or here.laboratory, region=region, by=here.mona
    )


def work_on(here, day):
    return public_holidays.open_all_the_same(organisation=here.laboratory, on=day, by=here.mona)


def said(here):
    return [(row.part, row.changes) for row in HouseEntry.objects.order_by("pk")]


def test_a_house_without_a_list_works_on_every_holiday(here):
    assert here.laboratory.holiday_region == ""
    assert calendars.is_open(here.laboratory, ASCENSION)
    assert public_holidays.ahead(here.laboratory, date(2026, 1, 1)) == []
    assert public_holidays.bridges(here.laboratory, date(2026, 1, 1)) == []
    assert public_holidays.rules_only_from(here.laboratory, date(2050, 1, 1)) is None


def test_a_house_is_closed_on_the_holidays_of_its_list_and_says_so_in_its_history(here):
    keep(here, "fr")
    here.laboratory.refresh_from_db()

    assert not calendars.is_open(here.laboratory, ASCENSION)
    assert calendars.is_open(here.laboratory, GOOD_FRIDAY)
    assert calendars.is_open(here.office, ASCENSION)
    keep(here, "gb-eng")
    assert not calendars.is_open(here.laboratory, GOOD_FRIDAY)
    keep(here, "")
    assert calendars.is_open(here.laboratory, GOOD_FRIDAY)
    france, england = "France without Alsace-Moselle", "England and Wales, United Kingdom"
    assert said(here) == [
        ("calendar", {"public holidays": ["", france]}),
        ("calendar", {"public holidays": [france, england]}),
        ("calendar", {"public holidays": [england, ""]}),
    ]


def test_a_list_that_is_not_there_is_refused(here):
    with pytest.raises(ValueError, match="no such list of public holidays"):
        keep(here, "atlantis")
    here.laboratory.refresh_from_db()
    assert here.laboratory.holiday_region == ""


def test_holidays_of_the_next_twelve_months_are_listed(here):
    keep(here, "gb-eng")
    found = public_holidays.ahead(here.laboratory, date(2026, 11, 28))

    assert [(str(one.on), one.words, one.of_week) for one in found] == [
        ("2026-12-25", "Christmas Day", True),
        ("2026-12-26", "Boxing Day", False),
        ("2026-12-28", "Boxing Day, kept for Saturday", True),
        ("2027-01-01", "New Year's Day", True),
        ("2027-03-26", "Good Friday", True),
        ("2027-03-29", "Easter Monday", True),
        ("2027-05-03", "Early May bank holiday", True),
        ("2027-05-31", "Spring bank holiday", True),
        ("2027-08-30", "Summer bank holiday", True),
    ]


def test_a_single_holiday_is_worked_on_until_it_is_taken_back(here):
    keep(here, "fr")
    row = work_on(here, ASCENSION)

    assert calendars.is_open(here.laboratory, ASCENSION)
    assert not calendars.is_open(here.laboratory, date(2026, 5, 8))
    assert [one.on for one in public_holidays.ahead(here.laboratory, BRIDGE) if one.opened] == []
    opened = [one for one in public_holidays.ahead(here.laboratory, GOOD_FRIDAY) if one.opened]
    assert [(one.on, one.row.by) for one in opened] == [(ASCENSION, here.mona)]
    calendars.reopen(row=row, by=here.mona)
    assert not calendars.is_open(here.laboratory, ASCENSION)
    assert said(here)[1:] == [
        ("calendar", {"open all the same, Ascension Day": ["", "2026-05-14"]}),
        ("calendar", {"open all the same, Ascension Day": ["2026-05-14", ""]}),
    ]


@pytest.mark.parametrize(
    ("day", "sentence"),
    [
        (BRIDGE, "That day is no public holiday of this house. Choose one of the list."),
        (date(2026, 8, 15), "It is a Saturday, on which this house is not open."),
    ],
)
def test_what_is_no_holiday_of_the_week_is_not_opened(here, day, sentence):
    keep(here, "fr")
    with pytest.raises(ValueError, match=sentence):
        work_on(here, day)
    assert not HouseDay.objects.exists()


def test_the_last_word_on_a_holiday_holds(here):
    keep(here, "fr")
    work_on(here, ASCENSION)
    calendars.close(
        organisation=here.laboratory,
        **{"first": ASCENSION, "last": BRIDGE, "reason": "away", "by": here.mona},
    )
    assert not calendars.is_open(here.laboratory, ASCENSION)
    work_on(here, ASCENSION)
    assert calendars.is_open(here.laboratory, ASCENSION)
    assert HouseDay.objects.count() == 2


def bridges(here, today):
    found = public_holidays.bridges(here.laboratory, today)
    return [(str(one.on), one.before, one.after) for one in found]


def test_the_day_after_ascension_is_proposed_and_never_closed_by_itself(here):
    keep(here, "fr")

    assert bridges(here, date(2026, 1, 1)) == [
        ("2026-01-02", "New Year's Day", "Saturday"),
        ("2026-05-15", "Ascension Day", "Saturday"),
        ("2026-07-13", "Sunday", "National Day"),
    ]
    assert calendars.is_open(here.laboratory, BRIDGE)
    calendars.close(
        organisation=here.laboratory,
        **{"first": BRIDGE, "last": None, "reason": public_holidays.BRIDGE, "by": here.mona},
    )
    assert "2026-05-15" not in [row[0] for row in bridges(here, date(2026, 1, 1))]


def test_a_house_that_works_on_saturday_has_other_bridge_days(here):
    keep(here, "fr")
    calendars.set_week(organisation=here.laboratory, weekdays=range(1, 7), by=here.mona)

    assert bridges(here, date(2026, 1, 1)) == [
        ("2026-05-02", "Labour Day", "Sunday"),
        ("2026-05-09", "Victory Day", "Sunday"),
        ("2026-07-13", "Sunday", "National Day"),
        ("2026-12-26", "Christmas Day", "Sunday"),
    ]


def test_a_holiday_that_is_worked_on_makes_no_bridge(here):
    keep(here, "fr")
    work_on(here, ASCENSION)
    assert "2026-05-15" not in [row[0] for row in bridges(here, date(2026, 1, 1))]


def test_days_closed_by_hand_alone_make_no_bridge(here):
    for day in (date(2026, 6, 9), date(2026, 6, 11)):
        calendars.close(
            organisation=here.laboratory,
            **{"first": day, "last": None, "reason": "away", "by": here.mona},
        )
    assert bridges(here, date(2026, 6, 1)) == []


def test_after_the_last_year_with_proclaimed_days_rules_alone_speak(here):
    keep(here, "gb-eng")
    until = date(2028, 12, 31)

    assert public_holidays.rules_only_from(here.laboratory, until) is None
    assert public_holidays.rules_only_from(here.laboratory, until + timedelta(days=1)) == date(
        2029, 1, 1
    )
