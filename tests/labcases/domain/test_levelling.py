"""Levelling: small instances solved by hand, and every placing of tiny ones as second opinion."""

from __future__ import annotations

from datetime import date
from itertools import product
from unittest import mock

from hypothesis import given, settings
from hypothesis import strategies as st

from labcases.domain import levelling
from labcases.domain.bench_jobs import Job
from labcases.domain.levelling import Over, level
from labcases.domain.load import Bench, Person, days_from, total_over
from labcases.domain.open_days import Calendar
from labcases.enums.load import BenchJob
from tests.labcases.domain.load_samples import many_jobs

J = BenchJob
#: Monday to Friday.
DAYS = days_from(date(2027, 3, 1), 5)
MON, TUE, WED, THU, FRI = DAYS
EACH_DAY = dict.fromkeys(range(1, 6), 120)
ALMA = Person(1, "Alma", EACH_DAY)
BENNO = Person(2, "Benno", EACH_DAY)


def bench(*people: Person, closed: tuple[date, ...] = ()) -> Bench:
    return Bench(people, Calendar(closed=frozenset(closed)))


def job(case: int, what: J, minutes: int, first: date, last: date, **more) -> Job:
    told = {"on": last, **more}
    return Job(case, f"CASE{case}", what, minutes, first, last, **told)


def moved(found: levelling.Levelling) -> list[tuple[int, str, date]]:
    return [(move.job.case, move.job.job.value, move.to) for move in found.moves]


def test_one_of_three_jobs_goes_a_day_earlier():
    """150 and 60 stand on Friday where 120 are; either move of the 60 takes 90 to 30."""
    jobs = [
        job(1, J.FLASKING, 90, FRI, FRI),
        job(2, J.WAX_UP, 60, THU, FRI),
        job(3, J.REMOUNT, 60, FRI, FRI),
    ]
    found = level(jobs, bench(ALMA), DAYS)

    assert (found.before, found.after, found.least, found.fits) == (90, 30, True, False)
    assert moved(found) == [(2, "wax-up", THU)]
    assert found.left == (Over(FRI, "nobody yet", 30),)


def test_a_job_makes_room_for_the_one_before_it_in_its_case():
    """Wax-up and flasking of case 1 both go a day back: one move of two alone gains nothing.

    Thursday holds 120 of 120 (wax-up), Friday 240 (flasking of both cases). Flasking of case 1
    can go to Thursday only when its wax-up goes to Wednesday.
    """
    jobs = [
        job(1, J.WAX_UP, 120, WED, THU),
        job(1, J.FLASKING, 120, THU, FRI),
        job(2, J.FLASKING, 120, FRI, FRI),
    ]
    found = level(jobs, bench(ALMA), DAYS)

    assert (found.before, found.greedy, found.after) == (120, 120, 0)
    assert moved(found) == [(1, "wax-up", WED), (1, "flasking", THU)]
    assert found.fits


def test_what_a_person_has_counts_for_that_person_and_what_nobody_has_for_all():
    """Alma is over by 60 on Tuesday although Benno is free; nobody's 60 fit beside him."""
    jobs = [
        job(1, J.MOUNTING, 90, TUE, TUE, technician=1),
        job(2, J.REMOUNT, 90, MON, TUE, technician=1),
        job(3, J.WAX_UP, 60, MON, TUE),
    ]
    found = level(jobs, bench(ALMA, BENNO), DAYS)

    assert (found.before, found.after) == (60, 0)
    assert moved(found) == [(2, "remount", MON)]


def test_the_fewest_moves_are_told_of_all_that_leave_the_least():
    """One job of 120 goes, rather than two of 60."""
    jobs = [
        job(1, J.WAX_UP, 60, MON, FRI),
        job(2, J.WAX_UP, 60, MON, FRI),
        job(3, J.FLASKING, 120, MON, FRI),
    ]
    found = level(jobs, bench(ALMA), DAYS)

    assert (found.before, found.after) == (120, 0)
    assert [move.job.case for move in found.moves] == [3]


def test_what_does_not_fit_is_said_by_day_and_minutes():
    """Closed on Monday and Tuesday, 300 minutes by Wednesday: 180 remain over whoever does them."""
    jobs = [job(n, J.POSTERIOR, 100, MON, WED, on=WED) for n in (1, 2, 3)]
    found = level(jobs, bench(ALMA, closed=(MON, TUE)), DAYS)

    assert (found.moves, found.before, found.after) == ((), 180, 180)
    assert found.left == (Over(WED, "nobody yet", 180),)
    assert (found.fits, found.least) == (False, True)


def test_nothing_moves_where_nothing_is_over_or_no_minutes_are_entered():
    jobs = [job(1, J.WAX_UP, 60, MON, FRI)]
    assert level(jobs, bench(ALMA), DAYS).moves == ()
    nothing = level([job(1, J.WAX_UP, 600, MON, FRI)], bench(Person(1, "Alma", {})), DAYS)
    assert (nothing.moves, nothing.before) == ((), 0)
    assert level([], bench(ALMA), DAYS).fits


def test_a_job_outside_of_the_days_stays():
    later = job(1, J.WAX_UP, 600, MON, date(2027, 3, 9))
    assert level([later], bench(ALMA), DAYS).before == 0


def test_without_an_answer_of_the_solver_the_greedy_start_is_told():
    jobs = [job(1, J.WAX_UP, 100, THU, FRI), job(2, J.WAX_UP, 100, FRI, FRI)]
    nothing = levelling._levelling_program.Solved(None, None)
    with mock.patch.object(levelling._levelling_program, "solve", return_value=nothing):
        found = level(jobs, bench(ALMA), DAYS)

    assert moved(found) == [(1, "wax-up", THU)]
    with mock.patch.object(levelling._levelling_program, "solve", return_value=nothing):
        left = level([*jobs, job(3, J.WAX_UP, 100, FRI, FRI)], bench(ALMA), DAYS)
    assert (left.after, left.least) == (80, False)


# --- second opinion ------------------------------------------------------------------------------


def every_placing(jobs: list[Job], of: Bench, days: list[date]) -> tuple[int, int]:
    """The least minutes over of all placings that keep windows and order, and then moves."""
    best: tuple[int, int] | None = None
    for chosen in product(days, repeat=len(jobs)):
        fine = all(
            one.earliest <= on <= one.latest and of.calendar.is_open(on)
            for one, on in zip(jobs, chosen, strict=True)
        )
        for first, on in zip(jobs, chosen, strict=True):
            later = jobs[jobs.index(first) + 1 :]
            days_later = chosen[jobs.index(first) + 1 :]
            fine &= all(
                on < other
                for one, other in zip(later, days_later, strict=True)
                if one.case == first.case
            )
        if fine:
            held = {day: {} for day in days}
            for one, on in zip(jobs, chosen, strict=True):
                held[on][one.technician] = held[on].get(one.technician, 0) + one.minutes
            cost = sum(over_by_hand(of, day, held[day]) for day in days)
            moves = sum(on != one.on for one, on in zip(jobs, chosen, strict=True))
            best = min(best or (cost, moves), (cost, moves))
    assert best is not None
    return best


def over_by_hand(of: Bench, day: date, held: dict[int | None, int]) -> int:
    over, free = 0, 0
    for person in of.people:
        has = person.minutes.get(day.isoweekday(), 0) if of.calendar.is_open(day) else 0
        over += max(0, held.get(person.key, 0) - has)
        free += max(0, has - held.get(person.key, 0))
    return over + max(0, held.get(None, 0) - free)


def test_the_second_opinion_on_literals():
    jobs = [job(1, J.WAX_UP, 60, WED, THU), job(1, J.FLASKING, 150, THU, FRI)]
    assert every_placing(jobs, bench(ALMA), DAYS) == (30, 0)
    assert every_placing([job(1, J.WAX_UP, 10, MON, TUE)], bench(ALMA), DAYS) == (0, 0)


@st.composite
def tiny(draw) -> list[Job]:
    """Four jobs of one to four cases within five days, each where it may stand."""
    found: list[Job] = []
    for _ in range(draw(st.integers(1, 4))):
        case = draw(st.integers(1, 3))
        before = [one for one in found if one.case == case]
        first = draw(st.integers(0, 4)) if not before else DAYS.index(before[-1].on) + 1
        if first > 4:
            continue
        on = draw(st.integers(first, 4))
        last = draw(st.integers(on, 4))
        least = DAYS.index(before[-1].earliest) + 1 if before else draw(st.integers(0, first))
        found.append(
            job(
                *(case, list(J)[len(before)], draw(st.sampled_from([30, 75, 90, 120]))),
                *(DAYS[least], DAYS[last]),
                on=DAYS[on],
                technician=draw(st.sampled_from([None, 1, 2])),
            )
        )
    return found


@settings(max_examples=60, deadline=None)
@given(tiny(), st.lists(st.sampled_from([0, 60, 90, 120]), min_size=2, max_size=2))
def test_it_is_what_every_placing_says(jobs, minutes):
    # What nobody has is told to all people, so those must have entered something.
    people = [
        Person(key, name, dict.fromkeys(range(1, 5), each) | {5: 30})
        for key, name, each in zip((1, 2), ("Alma", "Benno"), minutes, strict=True)
    ]
    of = bench(*people)
    found = level(jobs, of, DAYS)
    to = {move.job.key: move.to for move in found.moves}
    on = {one.key: to.get(one.key, one.on) for one in jobs}

    over, moves = every_placing(jobs, of, DAYS)
    assert found.after == over
    assert len(found.moves) == (moves if found.before else 0)
    assert found.after <= found.greedy <= found.before
    assert levelling.keeps_order(jobs, on)
    assert all(one.earliest <= on[one.key] <= one.latest for one in jobs)


def test_two_hundred_jobs_are_no_worse_than_the_greedy_start():
    jobs, of, days = many_jobs(200)
    found = level(jobs, of, days, time_limit_s=3)
    to = {move.job.key: move.to for move in found.moves}
    on = {one.key: to.get(one.key, one.on) for one in jobs}

    assert len(jobs) == 200
    assert found.before == total_over(jobs, of, days) > 0
    assert found.after <= found.greedy < found.before
    assert levelling.keeps_order(jobs, on)
    assert all(one.earliest <= on[one.key] <= one.latest for one in jobs)
