"""Properties of the plan, and ten thousand random ones beside numpy's busday functions."""

from __future__ import annotations

import random
from datetime import date, timedelta

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from labcases.domain.course import Course, Houses
from labcases.domain.open_days import Calendar
from labcases.domain.schedule import latest
from labcases.enums import Route, SetUpOrder
from labcases.enums.dates import Step

CONVENTIONAL = Course(Route.CONVENTIONAL)

days = st.dates(date(2024, 1, 1), date(2036, 12, 31))
offsets = st.frozensets(st.integers(-10, 80), max_size=25)
courses = st.builds(Course, st.sampled_from(Route), st.sampled_from(SetUpOrder), st.booleans())


def near(day: date, off: frozenset[int]) -> Calendar:
    """A calendar whose closed days matter: those around the plan of a day."""
    return Calendar(closed=frozenset(day - timedelta(days=n) for n in off))


@given(surgery=days, later=st.integers(0, 60), course=courses, lab=offsets, office=offsets)
def test_a_later_surgery_never_gives_an_earlier_date(surgery, later, course, lab, office):
    houses = Houses(laboratory=near(surgery, lab), office=near(surgery, office))
    first = latest(course, surgery, houses)
    then = latest(course, surgery + timedelta(days=later), houses)

    assert all(then[step] >= first[step] for step in first)


@given(surgery=days, course=courses, lab=offsets, office=offsets, more=st.integers(0, 80))
def test_one_more_closed_day_never_gives_a_later_date(surgery, course, lab, office, more):
    before = latest(
        course, surgery, Houses(laboratory=near(surgery, lab), office=near(surgery, office))
    )
    for wider in (
        Houses(laboratory=near(surgery, lab | {more}), office=near(surgery, office)),
        Houses(laboratory=near(surgery, lab), office=near(surgery, office | {more})),
    ):
        after = latest(course, surgery, wider)
        assert all(after[step] <= before[step] for step in before)


@given(surgery=days, course=courses, lab=offsets, office=offsets, today=days)
def test_rows_run_in_order_and_end_before_surgery(surgery, course, lab, office, today):
    houses = Houses(laboratory=near(surgery, lab), office=near(surgery, office))
    on = list(latest(course, surgery, houses).values())

    assert on == sorted(set(on))
    assert on[-1] < surgery


@given(
    surgery=days,
    course=courses,
    closed=offsets,
    office=offsets,
    work=st.sampled_from(("posterior teeth", "processing", "final wax", "mounting")),
)
def test_one_day_more_of_work_moves_every_row_before_it(surgery, course, closed, office, work):
    usual = {"posterior teeth": 3, "processing": 3, "final wax": 1, "mounting": 1}
    one = near(surgery, closed)
    for other in (one, near(surgery, office)):
        before = latest(course, surgery, Houses(laboratory=one, office=other))
        own = {work: usual[work] + 1}
        after = latest(course, surgery, Houses(laboratory=one, office=other, own=own))
        assert after[Step.RECEIVED] == before[Step.RECEIVED]
        if other == one:
            assert after[Step.MASTER_CAST] < before[Step.MASTER_CAST]
        # A day on which only one of two houses is closed may swallow it.
        assert after[Step.MASTER_CAST] <= before[Step.MASTER_CAST]


def second_opinion(surgery: date, lab: Calendar, office: Calendar) -> dict[str, date]:
    """The conventional rows by numpy, from the letters of the published table."""
    holidays = {
        "lab": sorted(lab.closed),
        "office": sorted(office.closed),
        "both": sorted(lab.closed | office.closed),
    }

    def step(day: date, n: int, whose: str) -> date:
        moved = np.busday_offset(day, -n, roll="forward", holidays=holidays[whose])
        return moved.astype(date)

    found = {}
    on = surgery
    for letter, work in (
        ("A", [(2, "office")]),
        ("B", [(1, "both")]),
        ("C", [(3, "lab")]),
        ("D", [(1, "lab"), (1, "lab")]),
        ("E", [(1, "both")]),
        ("F", [(1, "both"), (3, "lab"), (1, "lab"), (1, "both")]),
        ("G", [(1, "both"), (2, "lab"), (1, "both")]),
        ("H", [(1, "both"), (2, "lab"), (1, "both")]),
    ):
        for n, whose in work:
            on = step(on, n, whose)
        # The office acts on the days of records and try-in; 0 days of work there.
        if letter in "EF":
            on = np.busday_offset(on, 0, roll="backward", holidays=holidays["office"]).astype(date)
        found[letter] = on
    return found


def test_ten_thousand_random_plans_agree_with_numpy():
    draw = random.Random("plans of two houses")
    letters = {
        "A": Step.RECEIVED,
        "B": Step.DISPATCHED,
        "C": Step.PROCESSING,
        "D": Step.ANTERIOR,
        "E": Step.TRY_IN,
        "F": Step.JAW_RECORDS,
        "G": Step.SENT,
        "H": Step.PRIMARY,
    }
    for _n in range(10_000):
        surgery = date(2024, 1, 1) + timedelta(days=draw.randrange(4_000))
        lab, office = (
            near(surgery, frozenset(draw.sample(range(-5, 70), draw.randrange(15))))
            for _house in range(2)
        )
        found = latest(CONVENTIONAL, surgery, Houses(laboratory=lab, office=office))
        assert {letter: found[step] for letter, step in letters.items()} == second_opinion(
            surgery, lab, office
        )
