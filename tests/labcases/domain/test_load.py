"""Minutes of work day by day beside the minutes that people have."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from labcases.domain.bench_jobs import Job
from labcases.domain.load import Bench, Person, days_from, days_of, total_over
from labcases.domain.open_days import Calendar
from labcases.enums.load import BenchJob

DAYS = days_from(date(2027, 3, 1), 7)
MON, TUE, *_ = DAYS
ALMA = Person(1, "Alma", {1: 300, 2: 300})
BENNO = Person(2, "Benno", {1: 120})
CLEO = Person(3, "Cleo", {})


def job(case: int, minutes: int, on: date, who: int | None = None) -> Job:
    return Job(case, "CASE", BenchJob.WAX_UP, minutes, on, on, on, who)


def bench(*people: Person, closed: tuple[date, ...] = ()) -> Bench:
    return Bench(people, Calendar(closed=frozenset(closed)))


def test_a_person_is_over_by_what_is_more_than_their_minutes():
    jobs = [job(1, 200, MON, 1), job(2, 145, MON, 1), job(3, 60, TUE, 1)]
    monday, tuesday, *_ = days_of(jobs, bench(ALMA), DAYS)

    (cell,) = monday.people
    assert (cell.minutes, cell.capacity, cell.over) == (345, 300, 45)
    assert [one.case for one in cell.jobs] == [1, 2]
    assert (tuesday.people[0].minutes, tuesday.over) == (60, 0)
    assert total_over(jobs, bench(ALMA), DAYS) == 45


def test_a_single_half_day_halves_the_minutes_and_a_weekday_has_its_own():
    days = Bench((ALMA,), Calendar(half=frozenset({MON}), half_weekdays=frozenset({2})))

    assert [days.capacity(1, day) for day in (MON, TUE)] == [150, 300]


def test_what_nobody_has_is_held_against_what_is_left_of_all():
    """Alma has 100 of 300 left, Benno is over by 30 of 120 and lends nothing."""
    jobs = [job(1, 200, MON, 1), job(2, 150, MON, 2), job(3, 130, MON)]
    monday = days_of(jobs, bench(ALMA, BENNO), DAYS)[0]

    assert (monday.nobody.minutes, monday.nobody.capacity, monday.nobody.over) == (130, 100, 30)
    assert monday.over == 60


def test_no_minutes_entered_is_no_limit_and_no_day_of_work_is():
    jobs = [job(1, 200, MON, 3), job(2, 200, TUE, 2), job(3, 50, TUE)]
    monday, tuesday, *_ = days_of(jobs, bench(BENNO, CLEO), DAYS)

    assert (monday.people[1].capacity, monday.people[1].over) == (None, 0)
    assert (tuesday.people[0].capacity, tuesday.people[0].over) == (0, 200)
    assert tuesday.nobody.over == 50
    nothing = days_of(jobs, bench(CLEO), DAYS)[1]
    assert (nothing.nobody.capacity, nothing.over) == (None, 0)


def test_a_closed_day_has_no_minutes():
    monday = days_of([job(1, 30, MON, 1)], bench(ALMA, closed=(MON,)), DAYS)[0]
    assert (monday.is_open, monday.people[0].capacity, monday.over) == (False, 0, 30)
    assert not days_of([], bench(ALMA), DAYS)[5].is_open


def test_a_day_of_half_the_hours_has_half_the_minutes():
    of = Bench((ALMA,), Calendar(half=frozenset({MON})))
    monday = days_of([job(1, 200, MON, 1)], of, DAYS)[0]
    assert (monday.people[0].capacity, monday.over) == (150, 50)


def test_jobs_of_somebody_who_left_are_nobodys():
    monday = days_of([job(1, 30, MON, 99)], bench(ALMA), DAYS)[0]
    assert (monday.nobody.minutes, monday.people[0].minutes) == (30, 0)


@given(
    st.lists(
        st.tuples(st.integers(0, 240), st.sampled_from(DAYS), st.sampled_from([None, 1, 2, 3])),
        max_size=8,
    )
)
def test_every_minute_stands_once_and_giving_a_job_to_somebody_never_takes_minutes_over_away(told):
    jobs = [job(number, *one) for number, one in enumerate(told)]
    of = bench(ALMA, BENNO)
    days = days_of(jobs, of, DAYS)
    told_minutes = sum(c.minutes for day in days for c in (*day.people, day.nobody))

    assert told_minutes == sum(one.minutes for one in jobs)
    nobodys = [job(one.case, one.minutes, one.on) for one in jobs]
    assert total_over(nobodys, of, DAYS) <= total_over(jobs, of, DAYS)
