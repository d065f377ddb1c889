"""Between which days the jobs of a case fall, for a surgery on Thursday 26-Mar-2026."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labcases.domain.bench_jobs import Job, OfCase, Wanted, jobs_of
from labcases.domain.open_days import Calendar
from labcases.domain.schedule import Latest
from labcases.enums import Route, SetUpOrder, Stage
from labcases.enums.dates import Step
from labcases.enums.load import BenchJob
from labcases.reference.load import usual_minutes

J, S = BenchJob, Stage
USUAL = {job: one.middle for job, one in usual_minutes().items()}
CALENDAR = Calendar()


def day(text: str) -> date:
    return date.fromisoformat(f"2026-{text}")


#: Latest days of the plan, counted back by hand from 26-Mar-2026.
CONVENTIONAL = {
    S.SENT: day("02-27"),
    S.MASTER_CAST: day("03-02"),
    S.JAW_RECORDS: day("03-05"),
    S.MOUNTING: day("03-06"),
    S.SET_UP: day("03-09"),
    S.TRY_IN: day("03-13"),
    S.FINAL_WAX: day("03-17"),
    S.PROCESSING: day("03-18"),
    S.DISPATCHED: day("03-23"),
    S.RECEIVED: day("03-24"),
}
INTERIM = {
    S.SENT: day("03-02"),
    S.MASTER_CAST: day("03-04"),
    S.JAW_RECORDS: day("03-09"),
    S.MOUNTING: day("03-10"),
    S.SET_UP: day("03-11"),
    S.FINAL_WAX: day("03-17"),
    S.PROCESSING: day("03-18"),
    S.DISPATCHED: day("03-23"),
    S.RECEIVED: day("03-24"),
}
EARLY = day("02-10")


def of(stage: Stage, **more) -> OfCase:
    told = {"route": Route.CONVENTIONAL, "order": SetUpOrder.POSTERIOR_FIRST, **more}
    dates = INTERIM if told["route"] == Route.INTERIM else CONVENTIONAL
    plan = [Latest(Step(one.value), on, False, 0) for one, on in dates.items()]
    return OfCase(case=1, code="CASE1", stage=stage, plan=plan, **told)


def jobs(stage: Stage, today: date = EARLY, calendar: Calendar = CALENDAR, **more) -> list[Job]:
    return jobs_of(of(stage, **more), today=today, calendar=calendar, usual=USUAL)


def stands(found: list[Job]) -> dict[str, str]:
    return {job.job.value: f"{job.on:%m-%d}" for job in found}


def test_every_job_stands_on_its_latest_day_where_nobody_said_otherwise():
    found = jobs(S.ACCEPTED)

    assert stands(found) == {
        "cast": "03-03",
        "mounting": "03-06",
        "posterior": "03-11",
        "anterior": "03-16",
        "wax-up": "03-17",
        "flasking": "03-18",
        "remount": "03-19",
        "finishing": "03-20",
    }
    assert [job.minutes for job in found] == [75, 45, 120, 75, 53, 90, 45, 75]
    assert all(job.on == job.latest and not job.late for job in found)


def test_the_interim_route_has_a_tray_and_no_try_in():
    assert stands(jobs(S.ACCEPTED, route=Route.INTERIM)) == {
        "tray": "03-03",
        "cast": "03-05",
        "mounting": "03-10",
        "posterior": "03-13",
        "anterior": "03-16",
        "wax-up": "03-17",
        "flasking": "03-18",
        "remount": "03-19",
        "finishing": "03-20",
    }


def first_days(found: list[Job]) -> dict[str, str]:
    return {job.job.value: f"{job.earliest:%m-%d}" for job in found}


def test_a_job_begins_when_what_it_waits_for_is_there():
    """What comes from the office is there a day on the road after its day, booked or planned."""
    assert first_days(jobs(S.ACCEPTED))["cast"] == "02-10"
    assert first_days(jobs(S.SENT))["cast"] == "02-11"
    assert first_days(jobs(S.ACCEPTED))["mounting"] == "03-06"
    booked = {S.JAW_RECORDS: day("02-17"), S.TRY_IN: day("03-02")}
    assert first_days(jobs(S.ACCEPTED, booked=booked)) == {
        "cast": "02-10",
        "mounting": "02-18",
        "posterior": "02-19",
        "anterior": "03-03",
        "wax-up": "03-04",
        "flasking": "03-05",
        "remount": "03-06",
        "finishing": "03-09",
    }
    assert first_days(jobs(S.MOUNTING))["mounting"] == "02-10"


def test_jobs_that_are_behind_the_case_are_left_out():
    assert [job.job for job in jobs(S.PROCESSING)] == [J.FLASKING, J.REMOUNT, J.FINISHING]
    assert [job.job for job in jobs(S.SET_UP)][:2] == [J.POSTERIOR, J.ANTERIOR]
    assert [job.job for job in jobs(S.TRY_IN)][:2] == [J.ANTERIOR, J.WAX_UP]
    assert next(job.job for job in jobs(S.SET_UP, tried_in=True)) == J.ANTERIOR
    assert jobs(S.RELEASED) == jobs(S.DELIVERED) == jobs(S.DRAFT) == []
    assert (
        jobs_of(
            OfCase(1, "C", Route.INTERIM, SetUpOrder.POSTERIOR_FIRST, S.SENT, ()),
            today=EARLY,
            calendar=CALENDAR,
            usual=USUAL,
        )
        == []
    )


def test_a_job_that_is_done_is_left_out_and_the_next_begins_the_open_day_after():
    found = jobs(S.PROCESSING, done={J.FLASKING: EARLY})
    assert [job.job for job in found] == [J.REMOUNT, J.FINISHING]
    assert first_days(found) == {"remount": "02-11", "finishing": "02-12"}
    assert first_days(jobs(S.PROCESSING, done={J.FLASKING: day("02-03")}))["remount"] == "02-10"


def test_with_the_front_teeth_first_both_are_set_before_the_try_in():
    found = jobs(S.SET_UP, order=SetUpOrder.ANTERIOR_FIRST)
    assert list(stands(found).items())[:3] == [
        ("anterior", "03-10"),
        ("posterior", "03-11"),
        ("wax-up", "03-17"),
    ]
    assert first_days(found)["wax-up"] == "03-16"


def test_where_no_try_in_takes_place_both_are_set_before_the_wax():
    found = jobs(S.SET_UP, no_try_in=True)
    assert list(stands(found).items())[:2] == [("posterior", "03-13"), ("anterior", "03-16")]


def test_closed_days_and_a_longer_road_bring_days_forward():
    closed = Calendar(closed=frozenset({day("03-04"), day("03-11")}))
    found = stands(jobs(S.ACCEPTED, calendar=closed))
    assert (found["cast"], found["posterior"]) == ("03-02", "03-10")
    assert stands(jobs(S.ACCEPTED, road_days=2))["posterior"] == "03-10"


def test_what_is_late_stands_on_the_first_day_on_which_it_can_begin():
    found = jobs(S.FINAL_WAX, today=day("03-19"))

    assert stands(found) == {
        "wax-up": "03-19",
        "flasking": "03-20",
        "remount": "03-23",
        "finishing": "03-24",
    }
    assert all(job.late and job.earliest == job.latest for job in found)
    assert [f"{job.due:%m-%d}" for job in found] == ["03-17", "03-18", "03-19", "03-20"]


def test_who_when_and_how_long_come_from_what_somebody_entered():
    wanted = {
        J.WAX_UP: Wanted(technician=7, on=day("03-04"), minutes=80),
        J.FLASKING: Wanted(on=day("03-07")),
        J.REMOUNT: Wanted(on=day("03-31")),
    }
    wax, flask, remount, _finish = jobs(S.FINAL_WAX, wanted=wanted)

    assert (wax.technician, wax.minutes, wax.on) == (7, 80, day("03-04"))
    # 7-Mar-2026 is a Saturday; 31-Mar-2026 lies after the latest day.
    assert (flask.on, remount.on) == (day("03-06"), day("03-19"))


def test_a_job_that_somebody_brings_forward_takes_those_before_it_along():
    found = jobs(S.FINAL_WAX, wanted={J.FLASKING: Wanted(on=day("02-13"))})
    assert stands(found)["wax-up"] == "02-12"
    earliest = jobs(S.FINAL_WAX, wanted={J.FLASKING: Wanted(on=day("01-05"))})
    assert (stands(earliest)["wax-up"], stands(earliest)["flasking"]) == ("02-10", "02-11")


DAYS = st.dates(date(2026, 1, 1), date(2026, 4, 10))


@given(
    st.sampled_from(list(S)),
    st.sampled_from(list(Route)),
    st.sampled_from(list(SetUpOrder)),
    *(DAYS, st.sets(DAYS, max_size=12), st.sets(st.integers(1, 5), max_size=3)),
    st.dictionaries(st.sampled_from([S.JAW_RECORDS, S.TRY_IN]), DAYS),
    st.dictionaries(st.sampled_from(list(J)), DAYS.map(lambda on: Wanted(on=on))),
    st.booleans(),
    st.integers(0, 3),
)
def test_jobs_of_a_case_always_stand_in_order_on_open_days_that_are_possible(
    stage, route, order, today, closed, half, booked, wanted, tried, road
):
    calendar = Calendar(closed=frozenset(closed), half_weekdays=frozenset(half))
    told = {"booked": booked, "wanted": wanted, "tried_in": tried, "road_days": road}
    found = jobs(stage, today, calendar, route=route, order=order, **told)

    assert all(first.on < second.on for first, second in pairwise(found))
    assert all(today <= job.earliest <= job.on <= job.latest for job in found)
    assert all(calendar.is_open(job.on) for job in found)


@pytest.mark.parametrize("stage", [S.CANCELLED, S.DECLINED, S.CLOSED])
def test_an_ended_case_has_no_jobs(stage):
    assert jobs(stage) == []
