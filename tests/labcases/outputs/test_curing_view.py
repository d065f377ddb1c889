"""What is due of a processing, what is said of the day, and the table of starts."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from django.utils import timezone

from labcases.domain import curing, processing_runs
from labcases.domain import processing_state as states
from labcases.enums import Stage
from labcases.management import walk_curing
from labcases.outputs import curing_view
from labcases.reference.curing import cycles
from tests.factories import world

pytestmark = [pytest.mark.django_db]

THURSDAY = date(2026, 3, 26)
HOUSE = curing.House(time(8), time(16))


def test_each_hour_of_the_day_as_a_start():
    rows = curing_view.starts(cycles()["short"], THURSDAY, HOUSE)

    assert [(row.starts, row.out, row.deflask.replace("\xa0", " ")) for row in rows] == [
        ("08:00", "12:00", "12:39"),
        ("09:00", "13:00", "13:39"),
        ("10:00", "14:00", "14:39"),
        ("11:00", "15:00", "15:39"),
        ("12:00", "16:00", "Fri 27-Mar-2026 08:00"),
        ("13:00", "17:00", "Fri 27-Mar-2026 08:00"),
        ("14:00", "18:00", "Fri 27-Mar-2026 08:00"),
        ("15:00", "19:00", "Fri 27-Mar-2026 08:00"),
        ("16:00", "20:00", "Fri 27-Mar-2026 08:00"),
    ]
    assert [row.same_day for row in rows] == [True] * 4 + [False] * 5
    assert curing_view.starts(cycles()["poured"], THURSDAY, HOUSE) == []


@pytest.mark.parametrize(
    ("cycle", "day", "said"),
    [
        ("short", THURSDAY, "Packed by 11:21 it is deflasked on the same day (open until 16:00)."),
        (
            "long with boil",
            THURSDAY,
            "The whole takes 10 h 9 min to 10 h 39 min: it cannot be deflasked on the day on which "
            "it is packed (open until 16:00).",
        ),
        ("short", date(2026, 3, 28), "The laboratory is closed on Sat\xa028-Mar-2026."),
    ],
)
def test_the_latest_start_is_said_in_words(cycle, day, said):
    assert curing_view.latest_words(cycles()[cycle], day, HOUSE).endswith(said)


def test_cycles_are_listed_with_how_they_were_read():
    here = world()
    flask = curing_view.listed(here.laboratory, "flask and bath")
    poured = curing_view.listed(here.laboratory, "pour")

    assert [(row.label, row.whole) for row in flask][:3] == [
        ("Long, boiled at the end", "10 h 9 min to 10 h 39 min"),
        ("Long, not boiled", "9 h 9 min to 9 h 39 min"),
        ("Short, 2 hours and 1 hour", "4 h 9 min to 4 h 39 min"),
    ]
    assert [(row.parts, row.whole, row.cited) for row in poured] == [("not read",) * 3]
    assert curing_view.listed(here.laboratory, "milled") == []


def at_work(*steps):
    here = world()
    case = here.walk().to(Stage.PROCESSING)
    walk_curing.begin(case, here.tomas)
    for step, clock in steps:
        at = timezone.make_aware(datetime.combine(THURSDAY, time.fromisoformat(clock)))
        processing_runs.log_step(run=states.run_of(case), step=step, at=at, by=here.tomas)
    now = timezone.make_aware(datetime.combine(THURSDAY, time(13)))
    return states.of(states.run_of(case)), now


def due(state, now):
    return [
        (one.what, one.when.replace("\xa0", " ").removeprefix("26-Mar-2026 "))
        for one in curing_view.due(state, HOUSE, now=now)
    ]


def test_what_is_due_follows_what_was_entered_last():
    assert due(*at_work(("packed", "11:00"), ("in bath", "11:45"))) == [
        ("The cycle ends", "14:45"),
        ("Cooled, on the bench and in water", "15:24"),
        ("Deflasked, at the earliest in open hours", "15:24"),
    ]


def test_taken_out_only_the_cooling_is_due():
    assert due(*at_work(("in bath", "08:00"), ("out", "11:00"))) == [
        ("Cooled, on the bench and in water", "11:39"),
        ("Deflasked, at the earliest in open hours", "11:39"),
    ]


def test_before_the_start_the_day_is_planned_from_now_and_the_night_is_said():
    state, now = at_work()

    assert due(state, now) == [
        ("Begun now: heat from", "14:00"),
        ("The cycle ends", "17:00"),
        ("Cooled, on the bench and in water", "17:39"),
        ("Deflasked, at the earliest in open hours", "27-Mar-2026 08:00"),
    ]
    night, latest = curing_view.advice(state, HOUSE, now=now)
    assert night.startswith("It runs into the night")
    assert "local rules for unattended heat" in night
    assert "Packed by 11:21" in latest
    (unknown,) = curing_view.advice(state, curing.House(), now=now)
    assert unknown.startswith("The hours of the laboratory are not entered")


def test_earlier_processings_are_those_that_are_not_at_work():
    state, _now = at_work()
    run = state.run
    assert curing_view.earlier(run.case, run) == []
    processing_runs.give_up(row=run, version=run.version, reason="porous", by=run.changed_by)
    assert curing_view.earlier(run.case, None) == [run]


def test_the_next_open_day():
    saturday = timezone.make_aware(datetime.combine(THURSDAY, time(9))) + timedelta(days=2)

    assert curing_view.next_open(HOUSE, saturday) == date(2026, 3, 30)
