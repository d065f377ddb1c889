"""Public holidays: the rows that were read, and to the day what another list says."""

from __future__ import annotations

from datetime import date, timedelta

import holidays as library
import pytest
from dateutil import easter as second

from labcases.reference import holidays, read

YEARS = range(2019, 2029)

# How the library calls the same lists.
LIBRARY = {
    "gb-eng": ("GB", "ENG"),
    "gb-sct": ("GB", "SCT"),
    "gb-nir": ("GB", "NIR"),
    "fr": ("FR", None),
    "fr-am": ("FR", "57"),
    "us": ("US", None),
    **{
        f"de-{land.lower()}": ("DE", land)
        for land in [
            "BB",
            "BE",
            "BW",
            "BY",
            "HB",
            "HE",
            "HH",
            "MV",
            "NI",
            "NW",
            "RP",
            "SH",
            "SL",
            "SN",
            "ST",
            "TH",
        ]
    },
}

# Days on which the two lists differ, region -> day -> why. There is none.
DIFFERENT: dict[str, dict[date, str]] = {}

# Rows of the government's file, the days on which a weekday is kept. The edition that was read has
# the funeral of 2022 in the rows of Northern Ireland only, and not yet the coronation of 2023.
GOVERNMENT = {
    ("gb-eng", 2020): "01-01 04-10 04-13 05-08 05-25 08-31 12-25 12-28",
    ("gb-eng", 2021): "01-01 04-02 04-05 05-03 05-31 08-30 12-27 12-28",
    ("gb-eng", 2022): "01-03 04-15 04-18 05-02 06-02 06-03 08-29 09-19 12-26 12-27",
    ("gb-sct", 2018): "01-01 01-02 03-30 05-07 05-28 08-06 11-30 12-25 12-26",
    ("gb-sct", 2023): "01-02 01-03 04-07 05-01 05-08 05-29 08-07 11-30 12-25 12-26",
    ("gb-nir", 2019): "01-01 03-18 04-19 04-22 05-06 05-27 07-12 08-26 12-25 12-26",
    ("gb-nir", 2020): "01-01 03-17 04-10 04-13 05-08 05-25 07-13 08-31 12-25 12-28",
    ("gb-nir", 2021): "01-01 03-17 04-02 04-05 05-03 05-31 07-12 08-30 12-27 12-28",
    ("gb-nir", 2022): "01-03 03-17 04-15 04-18 05-02 06-02 06-03 07-12 08-29 09-19 12-26 12-27",
}

# Rows of the file of Alsace-Moselle, week-ends too.
ALSACE = {
    2019: "01-01 04-19 04-22 05-01 05-08 05-30 06-10 07-14 08-15 11-01 11-11 12-25 12-26",
    2024: "01-01 03-29 04-01 05-01 05-08 05-09 05-20 07-14 08-15 11-01 11-11 12-25 12-26",
    2027: "01-01 03-26 03-29 05-01 05-06 05-08 05-17 07-14 08-15 11-01 11-11 12-25 12-26",
}


def told(key: str, year: int, *, weekdays: bool = False) -> str:
    days = holidays.days_of(key, year)
    return " ".join(f"{day:%m-%d}" for day in days if not weekdays or day.isoweekday() < 6)


@pytest.mark.parametrize("key", LIBRARY)
def test_ten_years_are_those_of_the_library_to_the_day(key):
    country, part = LIBRARY[key]
    theirs = set(library.country_holidays(country, subdiv=part, years=YEARS))
    ours = {day for year in YEARS for day in holidays.days_of(key, year)}

    assert ours ^ theirs == set(DIFFERENT.get(key, {}))
    assert len(ours) > 90


def test_every_region_is_looked_at():
    assert set(holidays.regions()) == set(LIBRARY)
    assert len(LIBRARY) == 22


@pytest.mark.parametrize(("key", "year"), GOVERNMENT)
def test_rows_of_the_governments_file(key, year):
    assert told(key, year, weekdays=True) == GOVERNMENT[key, year]


@pytest.mark.parametrize("year", ALSACE)
def test_rows_of_alsace_moselle_and_of_the_rest_of_france(year):
    rows = ALSACE[year].split()
    good_friday = f"{holidays.easter(year) - timedelta(days=2):%m-%d}"

    assert told("fr-am", year).split() == rows
    assert told("fr", year).split() == [row for row in rows if row not in (good_friday, "12-26")]


def test_federal_days_of_a_year_in_which_three_are_moved():
    assert holidays.days_of("us", 2021) == {
        date(2021, 1, 1): "New Year's Day",
        date(2021, 1, 18): "Birthday of Martin Luther King, Jr.",
        date(2021, 2, 15): "Washington's Birthday",
        date(2021, 5, 31): "Memorial Day",
        date(2021, 6, 18): "Juneteenth, kept for Saturday",
        date(2021, 6, 19): "Juneteenth",
        date(2021, 7, 4): "Independence Day",
        date(2021, 7, 5): "Independence Day, kept for Sunday",
        date(2021, 9, 6): "Labor Day",
        date(2021, 10, 11): "Columbus Day",
        date(2021, 11, 11): "Veterans Day",
        date(2021, 11, 25): "Thanksgiving Day",
        date(2021, 12, 24): "Christmas Day, kept for Saturday",
        date(2021, 12, 25): "Christmas Day",
        # The New Year's Day of the year after.
        date(2021, 12, 31): "New Year's Day, kept for Saturday",
    }
    assert date(2020, 6, 19) not in holidays.days_of("us", 2020)


@pytest.mark.parametrize(
    ("key", "day", "words"),
    [
        ("gb-eng", date(2022, 12, 27), "Christmas Day, kept for Sunday"),
        ("gb-sct", date(2026, 6, 15), "Men's football World Cup"),
        ("gb-sct", date(2026, 4, 6), ""),
        ("gb-eng", date(2026, 4, 3), "Good Friday"),
        ("fr", date(2026, 4, 3), ""),
        ("fr-am", date(2026, 4, 3), "Good Friday"),
        # Nothing is kept for a Saturday in France.
        ("fr", date(2026, 8, 15), "Assumption Day"),
        ("fr", date(2026, 8, 17), ""),
        ("de-sn", date(2026, 11, 18), "Day of Repentance and Prayer"),
        ("de-by", date(2026, 6, 4), "Corpus Christi"),
        ("de-be", date(2026, 6, 4), ""),
        ("fr", date(2008, 5, 1), "Labour Day; Ascension Day"),
    ],
)
def test_a_day_is_called_by_its_name(key, day, words):
    assert holidays.name_on(key, day) == words


def test_a_span_holds_both_its_ends():
    found = holidays.between("gb-eng", date(2026, 12, 25), date(2027, 1, 1))

    assert list(found) == [
        date(2026, 12, 25),
        date(2026, 12, 26),
        date(2026, 12, 28),
        date(2027, 1, 1),
    ]


def test_easter_is_that_of_another_computation_for_three_centuries():
    years = range(holidays.FIRST_YEAR, holidays.LAST_YEAR + 1)
    assert [holidays.easter(year) for year in years] == [second.easter(year) for year in years]
    assert holidays.easter(2026) == date(2026, 4, 5)
    assert holidays.easter(2038) == date(2038, 4, 25)


def test_no_list_has_days_and_neither_have_other_centuries():
    assert holidays.days_of("", 2026) == {}
    assert holidays.days_of("gb-eng", 1) == {}
    assert holidays.days_of("gb-eng", 9999) == {}
    assert len(holidays.days_of("gb-eng", 2199)) >= 8


def test_a_list_says_how_it_is_known_and_until_when():
    berlin = holidays.regions()["de-be"]

    assert berlin.full_words == "Berlin, Germany"
    assert holidays.regions()["fr-am"].full_words == "France, Alsace-Moselle"
    assert berlin.source == "Laws of the states, not read"
    assert "equal to the Python library holidays 0.109" in berlin.how
    assert {(one.first, one.last) for one in holidays.regions().values()} == {(2019, 2028)}


@pytest.mark.parametrize("name", holidays.FILES)
def test_rows_name_regions_of_their_own_file(name):
    file = read(name)
    keys = [row["key"] for row in file["regions"]]

    assert len(keys) == len(set(keys))
    assert all(set(row.get("regions", keys)) <= set(keys) for row in file["days"])
    assert all(
        sum(key in row for key in ("on", "easter", "weekday", "once")) == 1 for row in file["days"]
    )
