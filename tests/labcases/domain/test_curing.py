"""The end of a cycle, the cooling and the latest start: a full table of cycles and starts."""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal

import pytest
from django.utils import timezone

from labcases.domain import curing
from labcases.domain.open_days import Calendar
from labcases.reference.curing import Cycle, Phase, cycles

D = Decimal
THURSDAY = date(2026, 3, 26)
HOUSE = curing.House(time(8), time(16))
"""Open from 8 to 16 from Monday to Friday, as the worked example has it."""


def at(clock: str, day: date = THURSDAY) -> datetime:
    return timezone.make_aware(datetime.combine(day, time.fromisoformat(clock)))


def said(moment: datetime | None) -> str:
    """Weekday and time: "Thu 15:39"."""
    return f"{timezone.localtime(moment):%a %H:%M}" if moment else "never"


def own(minutes: int, *, dwell: int = 0, bench: int = 0, water: int = 0) -> Cycle:
    return Cycle("own", "own", (Phase(minutes),), (dwell, dwell), bench, water, False, "label")


def test_eleven_and_four_point_six_five_hours_are_fifteen_thirty_nine():
    """Workflow figures, worked out from the short cycle: 1 + 3 + 0.5 + 0.15 h of occupancy."""
    low, high = curing.whole(cycles()["short"])
    found = curing.plan(cycles()["short"], at("11:00"), HOUSE)

    assert (low / 60, high / 60) == (4.15, 4.65)
    assert said(found.cooled) == "Thu 15:39"
    assert said(found.deflask_at) == "Thu 15:39"
    assert found.same_day
    assert not found.over_night


def test_a_long_cycle_holds_its_flask_for_more_than_ten_hours_and_ends_on_the_next_day():
    """Workflow figures: 10.15 to 10.65 h, packed on one day and deflasked on the next."""
    low, high = curing.whole(cycles()["long with boil"])
    found = curing.plan(cycles()["long with boil"], at("11:00"), HOUSE)

    assert (low / 60, high / 60) == (10.15, 10.65)
    assert said(found.cooled) == "Thu 21:39"
    assert said(found.deflask_at) == "Fri 08:00"
    assert found.over_night


#: Cycle -> heat from, out, cooled, deflasked, for a start at 8, 11, 13 and 15 on a Thursday.
#: By hand: an hour in the press, the parts of the cycle, 30 minutes on the bench, 9 in water.
TABLE = """
cycle                | 8:00                          | 11:00                         | 13:00                         | 15:00
long with boil       | 09:00 18:00 18:39 Fri 08:00 n | 12:00 21:00 21:39 Fri 08:00 n | 14:00 23:00 23:39 Fri 08:00 n | 16:00 01:00 01:39 Fri 08:00 n
long without boil    | 09:00 17:00 17:39 Fri 08:00 n | 12:00 20:00 20:39 Fri 08:00 n | 14:00 22:00 22:39 Fri 08:00 n | 16:00 00:00 00:39 Fri 08:00 n
short                | 09:00 12:00 12:39 Thu 12:39 d | 12:00 15:00 15:39 Thu 15:39 d | 14:00 17:00 17:39 Fri 08:00 n | 16:00 19:00 19:39 Fri 08:00 n
shortest             | 09:00 11:00 11:39 Thu 11:39 d | 12:00 14:00 14:39 Thu 14:39 d | 14:00 16:00 16:39 Fri 08:00 n | 16:00 18:00 18:39 Fri 08:00 n
65 and boil          | 09:00 12:00 12:39 Thu 12:39 d | 12:00 15:00 15:39 Thu 15:39 d | 14:00 17:00 17:39 Fri 08:00 n | 16:00 19:00 19:39 Fri 08:00 n
straight into boiling| 09:00 09:30 10:09 Thu 10:09 d | 12:00 12:30 13:09 Thu 13:09 d | 14:00 14:30 15:09 Thu 15:09 d | 16:00 16:30 17:09 Fri 08:00 n
"""  # noqa: E501  (a table is read across)


def rows() -> list[tuple[str, str, str]]:
    head, *lines = [line.split("|") for line in TABLE.strip().splitlines()]
    return [
        (line[0].strip(), start.strip(), cell.strip())
        for line in lines
        for start, cell in zip(head[1:], line[1:], strict=True)
    ]


@pytest.mark.parametrize(("cycle", "start", "cell"), rows())
def test_each_cycle_from_each_start(cycle, start, cell):
    heat, out, cooled, day, clock, night = cell.split()
    found = curing.plan(cycles()[cycle], at(start.zfill(5)), HOUSE)

    assert (
        *(f"{timezone.localtime(one):%H:%M}" for one in (found.heat_from, found.out, found.cooled)),
        said(found.deflask_at),
    ) == (heat, out, cooled, f"{day} {clock}")
    assert found.over_night is (night == "n")
    assert found.same_day is (night == "d")


def test_every_cycle_that_was_read_stands_in_the_table():
    assert {row[0] for row in rows()} == {key for key, one in cycles().items() if one.was_read}


#: By hand: closing time less the whole of the cycle with the longest time in the press.
@pytest.mark.parametrize(
    ("cycle", "closes", "latest"),
    [
        ("short", "16:00", "Thu 11:21"),
        ("short", "17:30", "Thu 12:51"),
        ("shortest", "16:00", "Thu 12:21"),
        ("65 and boil", "16:00", "Thu 11:21"),
        ("straight into boiling", "16:00", "Thu 13:51"),
        ("long with boil", "16:00", "never"),
        ("long without boil", "16:00", "never"),
        ("long without boil", "18:00", "Thu 08:21"),
        ("long with boil", "18:39", "Thu 08:00"),
        ("long with boil", "18:38", "never"),
    ],
)
def test_the_latest_start_for_the_same_day(cycle, closes, latest):
    house = curing.House(time(8), time.fromisoformat(closes))

    assert said(curing.latest_start(cycles()[cycle], THURSDAY, house)) == latest


def test_packed_at_the_latest_start_it_is_deflasked_at_closing_and_a_minute_later_it_is_not():
    latest = curing.latest_start(cycles()["short"], THURSDAY, HOUSE)

    assert said(curing.plan(cycles()["short"], latest, HOUSE).deflask_at) == "Thu 16:00"
    late = curing.plan(cycles()["short"], curing.after(latest, 1), HOUSE)
    assert said(late.deflask_at) == "Fri 08:00"


def test_it_waits_over_a_weekend_and_a_closed_day():
    house = curing.House(time(8), time(16), Calendar(closed=frozenset({date(2026, 3, 30)})))
    friday = date(2026, 3, 27)

    found = curing.plan(cycles()["long with boil"], at("11:00", friday), house)

    assert said(found.deflask_at) == "Tue 08:00"
    assert curing.latest_start(cycles()["short"], date(2026, 3, 28), house) is None


def test_on_a_half_day_nobody_counts_on_an_hour_of_closing():
    house = curing.House(time(8), time(16), Calendar(half_weekdays=frozenset({5})))
    friday = date(2026, 3, 27)

    assert curing.latest_start(cycles()["short"], friday, house) is None
    found = curing.plan(cycles()["long with boil"], at("11:00"), house)
    assert said(found.deflask_at) == "Mon 08:00"


def test_without_hours_nothing_is_said_of_the_day():
    house = curing.House()
    found = curing.plan(cycles()["short"], at("11:00"), house)

    assert not house.hours_known
    assert found.deflask_at is None
    assert not found.over_night
    assert curing.latest_start(cycles()["short"], THURSDAY, house) is None


def test_a_cycle_that_ends_before_the_house_opens_waits_for_it():
    found = curing.plan(own(600), at("20:00"), HOUSE)

    assert said(found.cooled) == "Fri 06:00"
    assert said(found.deflask_at) == "Fri 08:00"


def test_every_minute_of_an_own_cycle_counts():
    assert curing.whole(own(120, dwell=20, bench=45, water=15)) == (200, 200)


def test_minutes_pass_alike_over_a_change_of_hours(settings):
    """In Berlin the clock goes from 2 to 3 on 29-Mar-2026: the hour is missing on the wall."""
    settings.TIME_ZONE = "Europe/Berlin"
    with timezone.override("Europe/Berlin"):
        start = at("20:00", date(2026, 3, 28))

        assert said(curing.after(start, 600)) == "Sun 07:00"


def test_a_cycle_is_told_in_both_scales():
    """74 C are 165.2 F, 100 C are 212 F."""
    assert curing.in_words(cycles()["short"]) == (
        "2 h at 74 C (165.2 F), then 60 min at 100 C (212 F)"
    )
    assert curing.in_words(cycles()["poured"]) == "not read"
    assert curing.phase_in_words(Phase(90)) == "90 min"


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"), [("74", "165.2"), ("100", "212"), ("65", "149")]
)
def test_fahrenheit(celsius, fahrenheit):
    assert curing.fahrenheit(D(celsius)) == D(fahrenheit)
