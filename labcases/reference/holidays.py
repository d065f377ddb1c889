"""Public holidays by country and region: rules and days proclaimed once, from the files beside.

A region is named by a key that never changes, since houses store it: "gb-eng", "fr", "de-by".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from labcases.reference import read

FILES = ("holidays_gb.toml", "holidays_fr.toml", "holidays_de.toml", "holidays_us.toml")

FIRST_YEAR, LAST_YEAR = 1900, 2199
"""The rules of today say nothing of other centuries."""

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

NEXT_FREE, NEAREST, NEVER = "next free weekday", "nearest weekday", "never"


@dataclass(frozen=True)
class Region:
    """A list of holidays: where it applies, and how it is known.

    ``first`` and ``last`` are the years of which proclaimed days are in the list as well.
    """

    key: str
    words: str
    country: str
    source: str
    how: str
    first: int
    last: int
    note: str

    @property
    def full_words(self) -> str:
        """Bavaria, Germany; the country alone where the words begin with it."""
        return (
            self.words if self.words.startswith(self.country) else f"{self.words}, {self.country}"
        )


def easter(year: int) -> date:
    """Easter Sunday of the Gregorian calendar.

    The anonymous algorithm printed in New Scientist, 30-Mar-1961, which Meeus repeats in
    Astronomical Algorithms (1991); both cited at second hand.
    """
    golden = year % 19
    century, rest = divmod(year, 100)
    shift = (8 * century + 13) // 25
    epact = (19 * golden + century - century // 4 - shift + 15) % 30
    weekday = (2 * (century % 4) + 2 * (rest // 4) - epact - rest % 4 + 32) % 7
    late = (golden + 11 * epact + 22 * weekday) // 451
    month, day = divmod(epact + weekday - 7 * late + 114, 31)
    return date(year, month, day + 1)


@cache
def regions() -> Mapping[str, Region]:
    """Every region by its key, in the order of the files."""
    found = {}
    for name in FILES:
        told = read(name)
        first, last = told["covers"]
        for row in told["regions"]:
            found[row["key"]] = Region(
                key=row["key"],
                words=row["words"],
                country=told["country"],
                source=told["source"],
                how=told["how"],
                first=first,
                last=last,
                note=row.get("note", ""),
            )
    return MappingProxyType(found)


@lru_cache(maxsize=1024)
def days_of(key: str, year: int) -> Mapping[date, str]:
    """The holidays of one year with their names, in order.

    Holds the days themselves and, where the law moves what falls on a weekend, the days that
    stand for them. Nothing for a key that is not in the files, and for other centuries.
    """
    if key not in regions() or not FIRST_YEAR <= year <= LAST_YEAR:
        return MappingProxyType({})
    # A New Year's Day on a Saturday may be kept in the year before.
    found: dict[date, str] = {}
    for one in (year - 1, year, year + 1):
        for day, words in _with_moved(key, one).items():
            if day.year == year:
                found[day] = f"{found[day]}; {words}" if day in found else words
    return MappingProxyType(dict(sorted(found.items())))


def name_on(key: str, day: date) -> str:
    """What the holiday on a day is called; nothing where there is none."""
    return days_of(key, day.year).get(day, "")


def between(key: str, first: date, last: date) -> dict[date, str]:
    """The holidays from a day on to another, both counted."""
    years = range(first.year, last.year + 1)
    rows = (row for year in years for row in days_of(key, year).items())
    return {day: words for day, words in rows if first <= day <= last}


# --- rules -------------------------------------------------------------------------------------


@cache
def _told(key: str) -> tuple[str, list[dict[str, Any]]]:
    """How days are moved in a region, and its rows."""
    files = (read(name) for name in FILES)
    told = next(told for told in files if any(row["key"] == key for row in told["regions"]))
    return told["moves"], [row for row in told["days"] if key in row.get("regions", [key])]


def _with_moved(key: str, year: int) -> dict[date, str]:
    moves, rows = _told(key)
    found: dict[date, str] = {}
    for row in rows:
        for day in _days(row, year):
            found[day] = f"{found[day]}; {row['words']}" if day in found else row["words"]
    taken = dict(found)
    for day, words in sorted(found.items()):
        kept = _moved(day, moves, taken)
        if kept != day:
            taken[kept] = f"{words}, kept for {WEEKDAYS[day.weekday()]}"
    return taken


def _moved(day: date, moves: str, taken: Mapping[date, str]) -> date:
    """The day on which a holiday is kept."""
    if moves == NEVER or day.isoweekday() < 6:
        return day
    if moves == NEAREST:
        return day + timedelta(days=-1 if day.isoweekday() == 6 else 1)
    while day.isoweekday() > 5 or day in taken:
        day += timedelta(days=1)
    return day


def _days(row: Mapping[str, Any], year: int) -> Iterator[date]:
    """The day of one row in a year, if it has one."""
    if "once" in row:
        if row["once"].year == year:
            yield row["once"]
    elif row.get("since", year) <= year and year not in row.get("not_in", ()):
        yield _by_rule(row, year)


def _by_rule(row: Mapping[str, Any], year: int) -> date:
    if "easter" in row:
        return easter(year) + timedelta(days=row["easter"])
    if "on" in row:
        return _month_day(row["on"], year)
    weekday = WEEKDAYS.index(row["weekday"])
    if "before" in row:
        day = _month_day(row["before"], year) - timedelta(days=1)
        return day - timedelta(days=(day.weekday() - weekday) % 7)
    return _nth(year, row["month"], weekday, row["nth"])


def _month_day(text: str, year: int) -> date:
    month, day = text.split("-")
    return date(year, int(month), int(day))


def _nth(year: int, month: int, weekday: int, nth: int) -> date:
    """The nth weekday of a month; counted from its end where nth is negative."""
    if nth > 0:
        first = date(year, month, 1)
        return first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * (nth - 1))
    last = date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1)
    return last - timedelta(days=(last.weekday() - weekday) % 7 + 7 * (-nth - 1))
