"""Dates worked back over the shipped lists of public holidays, to the day.

The golden rows without a country were counted by hand on a Monday-to-Friday week; those of a
country on the official lists, by a loop and by numpy, before this list was written. Letters are
working days before surgery: A is received, B dispatched, C processing, D the front teeth, E the
try-in, F the records, G the final impression, H the primary one; I is G less 42 calendar days.
"""

from __future__ import annotations

from datetime import date, timedelta
from zoneinfo import ZoneInfo, available_timezones

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labcases.domain import schedule
from labcases.domain.open_days import Calendar, ahead, back
from labcases.reference import holidays

OFFSETS = {"A": 2, "B": 3, "C": 6, "D": 8, "E": 9, "F": 15, "G": 19, "H": 23}

CHRISTMAS = frozenset({date(2025, 12, 25), date(2025, 12, 26), date(2026, 1, 1)})

#: Surgery day and calendar -> the rows A to I.
GOLDEN = {
    ("2026-03-26", Calendar()): (
        "2026-03-24 2026-03-23 2026-03-18 2026-03-16 2026-03-13 2026-03-05 2026-02-27 2026-02-23 "
        "2026-01-16"
    ),
    ("2026-01-14", Calendar(closed=CHRISTMAS)): (
        "2026-01-12 2026-01-09 2026-01-06 2026-01-02 2025-12-31 2025-12-19 2025-12-15 2025-12-09 "
        "2025-11-03"
    ),
    # The same three days from the list of England and Wales.
    ("2026-01-14", Calendar(region="gb-eng")): (
        "2026-01-12 2026-01-09 2026-01-06 2026-01-02 2025-12-31 2025-12-19 2025-12-15 2025-12-09 "
        "2025-11-03"
    ),
    ("2028-03-09", Calendar()): (
        "2028-03-07 2028-03-06 2028-03-01 2028-02-28 2028-02-25 2028-02-17 2028-02-11 2028-02-07 "
        "2027-12-31"
    ),
    ("2026-04-15", Calendar(region="gb-eng")): (
        "2026-04-13 2026-04-10 2026-04-07 2026-04-01 2026-03-31 2026-03-23 2026-03-17 2026-03-11 "
        "2026-02-03"
    ),
    ("2027-01-13", Calendar(region="gb-sct")): (
        "2027-01-11 2027-01-08 2027-01-05 2026-12-30 2026-12-29 2026-12-17 2026-12-11 2026-12-07 "
        "2026-10-30"
    ),
    ("2026-07-22", Calendar(region="gb-nir")): (
        "2026-07-20 2026-07-17 2026-07-14 2026-07-09 2026-07-08 2026-06-30 2026-06-24 2026-06-18 "
        "2026-05-13"
    ),
    ("2026-05-28", Calendar(region="fr")): (
        "2026-05-26 2026-05-22 2026-05-19 2026-05-15 2026-05-13 2026-05-04 2026-04-27 2026-04-21 "
        "2026-03-16"
    ),
    ("2026-07-15", Calendar(region="us")): (
        "2026-07-13 2026-07-10 2026-07-07 2026-07-02 2026-07-01 2026-06-23 2026-06-16 2026-06-10 "
        "2026-05-05"
    ),
    ("2026-12-09", Calendar(region="us")): (
        "2026-12-07 2026-12-04 2026-12-01 2026-11-27 2026-11-25 2026-11-17 2026-11-10 2026-11-04 "
        "2026-09-29"
    ),
}


@pytest.mark.parametrize(("surgery", "calendar"), GOLDEN)
def test_golden_dates_over_the_shipped_holidays(surgery, calendar):
    on = date.fromisoformat(surgery)
    found = [back(on, offset, calendar) for offset in OFFSETS.values()]
    impression = found[list(OFFSETS).index("G")]
    found.append(impression - timedelta(days=schedule.HEALING_DAYS))

    assert " ".join(str(day) for day in found) == GOLDEN[surgery, calendar]


@pytest.mark.parametrize(
    ("surgery", "region", "is_open"),
    [
        # Good Friday: closed in England and Wales, an ordinary Friday in most of France.
        (date(2026, 4, 2), "gb-eng", False),
        (date(2026, 4, 2), "gb-sct", False),
        (date(2026, 4, 2), "fr", True),
        (date(2026, 4, 2), "fr-am", False),
        (date(2026, 4, 2), "us", True),
        # Christmas Day.
        (date(2026, 12, 24), "gb-eng", False),
        (date(2026, 12, 24), "gb-nir", False),
        (date(2026, 12, 24), "fr", False),
        (date(2026, 12, 24), "us", False),
        (date(2026, 12, 24), "de-by", False),
    ],
)
def test_the_day_after_surgery_is_where_lists_differ(surgery, region, is_open):
    assert Calendar(region=region).is_open(surgery + timedelta(days=1)) is is_open


surgeries = st.dates(date(2019, 3, 1), date(2028, 12, 31))
regions = st.sampled_from(list(holidays.regions()))


@given(surgery=surgeries, region=regions, offset=st.sampled_from(list(OFFSETS.values())))
def test_a_list_of_holidays_never_makes_a_latest_day_later(surgery, region, offset):
    assert back(surgery, offset, Calendar(region=region)) <= back(surgery, offset)


@given(surgery=surgeries, region=regions, later=st.integers(1, 40))
def test_a_later_surgery_never_gives_an_earlier_day(surgery, region, later):
    calendar = Calendar(region=region)
    for offset in OFFSETS.values():
        after = back(surgery + timedelta(days=later), offset, calendar)
        assert after >= back(surgery, offset, calendar)


# --- dates stay dates ----------------------------------------------------------------------------

ZONES = sorted(available_timezones())[::-1][:400]


def test_three_working_days_are_the_same_in_four_hundred_zones_and_ten_years():
    """A date is worked out from dates alone: clocks that change take no day from it."""
    off_by_one, looked_at = [], 0
    days = [date(year, month, 27) for year in range(2019, 2029) for month in (2, 3, 10, 11)]
    wanted = {
        day: np.busday_offset(day, 3, roll="backward").astype(date)
        for around in days
        for day in (around + timedelta(days=n) for n in range(8))
    }
    for name in ZONES:
        zone = ZoneInfo(name)
        for day, due in wanted.items():
            looked_at += 1
            # The last minute of a day there, as an instant and back.
            instant = np.datetime64(f"{day}T23:59").astype(object).replace(tzinfo=zone)
            here = instant.astimezone(ZoneInfo("UTC")).astimezone(zone).date()
            if ahead(here, 3) != due:
                off_by_one.append((name, day))
    assert off_by_one == []
    assert looked_at == 400 * 320


def test_a_day_that_a_place_skipped_is_a_date_all_the_same():
    """Apia had no 30-Dec-2011: working days count dates, and the list of dates has it."""
    assert ahead(date(2011, 12, 28), 3) == date(2012, 1, 2)
    assert back(date(2012, 1, 2), 3) == date(2011, 12, 28)
