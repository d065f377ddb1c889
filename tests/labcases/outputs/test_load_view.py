"""The load of a bench in rows and words."""

from __future__ import annotations

from datetime import date

from labcases.domain.bench_jobs import Job
from labcases.domain.levelling import level
from labcases.domain.load import Bench, Person, days_from, days_of
from labcases.domain.load_reading import Load
from labcases.domain.open_days import Calendar
from labcases.enums.load import BenchJob
from labcases.outputs import load_view

#: A Friday, so that two closed days stand in between.
DAYS = days_from(date(2027, 3, 5), 4)
FRI, _SAT, _SUN, MON = DAYS
ALMA = Person(1, "Alma", {5: 120, 1: 120})
CLEO = Person(3, "Cleo", {})


def load(*jobs: Job, people: tuple[Person, ...] = (ALMA, CLEO)) -> Load:
    bench = Bench(people, Calendar())
    return Load(bench, jobs, tuple(DAYS), tuple(days_of(jobs, bench, DAYS)))


def job(minutes: int, on: date, who: int | None = None, **more) -> Job:
    return Job(1, "ABCD2345WXYZ", BenchJob.WAX_UP, minutes, FRI, MON, on, who, **more)


def test_open_days_have_a_cell_for_each_person_with_minutes_and_one_for_nobody():
    found = load(job(165, FRI, 1), job(30, MON))

    assert [person.name for _place, person in load_view.columns(found)] == ["Alma"]
    friday, monday = load_view.days(found)
    assert [(c.who, c.minutes, c.over, c.free) for c in friday.cells] == [
        ("Alma", "165 / 120 min", "over by 45 min", ""),
        ("Nobody yet", "0 / 0 min", "", ""),
    ]
    assert monday.cells[1].minutes == "30 / 120 min"
    assert monday.cells[1].free == "90 min left"


def test_a_person_without_minutes_shows_once_a_job_is_theirs():
    found = load(job(165, FRI, 3))
    assert [person.name for _place, person in load_view.columns(found)] == ["Alma", "Cleo"]
    assert load_view.days(found)[0].cells[1].minutes == "165 min"


def test_jobs_stand_day_by_day_with_who_does_them():
    monday, friday = job(30, MON), job(20, FRI, 1, due=date(2027, 3, 3))
    first, second = load_view.jobs(load(monday, friday))

    assert (first.on, first.who, first.minutes, first.late) == (FRI, "Alma", 20, True)
    assert (first.due, second.due, second.late) == (date(2027, 3, 3), None, False)
    assert (second.who, second.code, second.label) == ("Nobody yet", "ABCD-2345-WXYZ", "Wax-up")
    assert load_view.jobs(load(job(30, date(2027, 3, 9)))) == []


def test_the_weeks_are_told_in_one_sentence():
    assert load_view.sum_words(load(job(30, FRI))) == "No day is over."
    assert load_view.sum_words(load(job(165, FRI, 1))) == "1 day is over, by 45 min together."
    both = load(job(165, FRI, 1), job(130, MON))
    assert load_view.sum_words(both) == "2 days are over, by 55 min together."
    nobody = load_view.sum_words(load(job(900, FRI), people=(CLEO,)))
    assert nobody.startswith("Nobody's minutes at the bench are entered yet")


def test_what_remains_over_is_told_with_day_person_and_minutes():
    fixed = Job(1, "ABCD2345WXYZ", BenchJob.WAX_UP, 165, FRI, FRI, FRI, 1)
    found = level([fixed], Bench((ALMA,), Calendar()), DAYS)
    (words,) = load_view.left_words(found)
    plain = words.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NON-BREAKING HYPHEN}", "-")
    assert plain == "Fri 05-Mar-2027, Alma: 45 min remain over"
