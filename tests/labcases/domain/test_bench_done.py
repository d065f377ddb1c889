"""Jobs that are done inside the stage where a case stands, and planned no more."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from labcases.domain import bench_done, load_reading, processing_runs
from labcases.domain import processing_state as states
from labcases.enums import Stage
from labcases.enums.load import BenchJob
from labcases.management import walk_curing
from labcases.management.walk import Walk
from labcases.models import ProcessingStep
from tests.factories import world

pytestmark = pytest.mark.django_db

J, S = BenchJob, Stage


@pytest.fixture
def here():
    return world()


def ahead(walk: Walk) -> list[BenchJob]:
    return [job.job for job in load_reading.jobs_of_case(walk.reload())]


def at(here, stage: Stage, **more) -> Walk:
    walk = here.walk(surgery_in_days=30, **more)
    walk.to(stage)
    return walk


def test_a_flask_in_the_bath_is_no_work_ahead_and_one_that_was_not_put_there_is(here):
    walk = at(here, S.PROCESSING)
    walk_curing.begin(walk.reload(), here.tomas)
    run = states.of_case(walk.reload())
    now = timezone.now()
    for step, minutes in (("packed", 50), ("closed", 40)):
        processing_runs.log_step(
            run=run, step=step, at=now - timedelta(minutes=minutes), by=here.tomas
        )
    assert ahead(walk) == [J.FLASKING, J.REMOUNT, J.FINISHING]

    processing_runs.log_step(run=run, step="in bath", at=now, by=here.tomas)
    assert ahead(walk) == [J.REMOUNT, J.FINISHING]
    # What stands in the bath today is not remounted today.
    found = load_reading.jobs_of_case(walk.reload())
    assert found[0].earliest > timezone.localdate()

    line = ProcessingStep.objects.get(step="in bath")
    processing_runs.strike(row=line, reason="another flask", by=here.tomas)
    assert ahead(walk) == [J.FLASKING, J.REMOUNT, J.FINISHING]


@pytest.mark.parametrize(
    ("stage", "prepared", "before", "after"),
    [
        (S.MOUNTING, S.SETTINGS, J.MOUNTING, J.POSTERIOR),
        (S.SET_UP, S.TRY_IN, J.POSTERIOR, J.ANTERIOR),
        (S.REMOUNT, S.FINISHING, J.REMOUNT, J.FINISHING),
    ],
)
def test_a_job_that_the_records_of_its_stage_say_is_done_is_left_out(
    here, stage, prepared, before, after
):
    walk = at(here, stage)
    assert ahead(walk)[0] == before
    walk.prepare(prepared)
    assert ahead(walk)[0] == after


def test_wax_that_is_ready_for_the_dentist_is_done_before_the_dentist_approves_it(here):
    walk = at(here, S.FINAL_WAX)
    assert ahead(walk)[0] == J.WAX_UP
    walk.wax()
    assert ahead(walk)[0] == J.FLASKING


def test_a_denture_that_waits_for_the_second_look_has_no_job_at_the_bench(here):
    walk = at(here, S.FINISHING)
    assert ahead(walk) == [J.FINISHING]
    walk.finish()
    assert ahead(walk) == []


def test_questions_to_the_database_do_not_grow_with_the_cases_of_a_stage(here):
    def asked() -> int:
        with CaptureQueriesContext(connection) as told:
            load_reading.read(here.laboratory)
        return len(told)

    def fill(number: int) -> None:
        for stage, prepared in (
            (S.FINAL_WAX, S.PROCESSING),
            (S.PROCESSING, S.REMOUNT),
            (S.REMOUNT, S.FINISHING),
            (S.FINISHING, S.RELEASED),
        ):
            at(here, stage, patient_code=f"P-{number}-{stage.value}").prepare(prepared)

    fill(1)
    one = asked()
    fill(2)
    assert asked() == one


def test_a_case_at_another_stage_has_nothing_done(here):
    assert bench_done.of(at(here, S.SENT).reload()) == {}
