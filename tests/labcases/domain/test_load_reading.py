"""What stands at the bench of a laboratory: whose cases, whose minutes, by how many questions."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from labcases.domain import load_reading
from labcases.enums import AppointmentKind, Role, Stage
from labcases.enums.load import BenchJob
from labcases.models import Appointment, BenchMinutes, BenchTask, Case, Membership
from tests.factories import MembershipFactory, world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def here():
    return world()


def sent(here, code="P-100", days=30) -> Case:
    return here.walk(patient_code=code, surgery_in_days=days).to(Stage.SENT)


def test_jobs_of_sent_cases_with_a_surgery_day_count(here):
    case = sent(here)
    here.walk(patient_code="DRAFT", surgery_in_days=30)
    for code, changed in (
        ("HELD", {"on_hold": True}),
        ("DAYLESS", {"surgery_on": None}),
        ("GONE", {"stage": Stage.DISPATCHED}),
        ("KEPT", {"restricted": True}),
    ):
        Case.objects.filter(pk=sent(here, code).pk).update(**changed)

    found = load_reading.read(here.laboratory)
    assert {job.code for job in found.jobs} == {case.code}
    assert [job.job for job in found.jobs][-1] == BenchJob.FINISHING
    assert load_reading.read(here.other_laboratory).jobs == ()
    assert (len(found.dates), found.dates[0]) == (21, timezone.localdate())


def test_days_people_and_minutes_come_from_what_was_entered(here):
    case = sent(here)
    plain = {job.job: job for job in load_reading.jobs_of_case(case)}
    wax = plain[BenchJob.WAX_UP]
    BenchTask.objects.create(
        case=case, job=BenchJob.WAX_UP, technician=here.tomas, planned_on=wax.earliest, minutes=80
    )
    here.laboratory.job_minutes = {"flasking": 100}
    here.laboratory.save()
    BenchMinutes.objects.create(
        organisation=here.laboratory, user=here.tomas, by_weekday={"1": 300}
    )

    found = load_reading.read(here.laboratory)
    jobs = {job.job: job for job in found.jobs}
    told = jobs[BenchJob.WAX_UP]
    assert (told.technician, told.on, told.minutes) == (here.tomas.pk, wax.earliest, 80)
    assert jobs[BenchJob.FLASKING].minutes == 100
    assert [(one.name, one.minutes) for one in found.bench.people] == [
        ("Mona Ridley", {}),
        ("Tomas Abelard", {1: 300}),
    ]


def test_a_booked_visit_says_when_the_next_job_can_begin(here):
    case = sent(here, days=60)
    soon = timezone.localdate() + timedelta(days=4)
    before = {job.job: job.earliest for job in load_reading.jobs_of_case(case)}
    kind = AppointmentKind.RECORDS
    Appointment.objects.create(case=case, kind=kind, on=soon, status="booked")
    Appointment.objects.create(case=case, kind=kind, on=soon, status="dropped")

    after = {job.job: job.earliest for job in load_reading.jobs_of_case(case)}
    assert soon < after[BenchJob.MOUNTING] < before[BenchJob.MOUNTING]
    assert after[BenchJob.CAST] == before[BenchJob.CAST]


def test_who_left_or_works_at_the_desk_is_not_of_the_bench(here):
    names = [user.full_name for user in load_reading.bench_people(here.laboratory)]
    assert names == ["Mona Ridley", "Tomas Abelard"]
    MembershipFactory(user=here.mona, organisation=here.laboratory, role=Role.TECHNICIAN)
    Membership.objects.filter(user=here.tomas).update(active=False)
    names = [user.full_name for user in load_reading.bench_people(here.laboratory)]
    assert names == ["Mona Ridley"]


def test_questions_to_the_database_do_not_grow_with_the_cases(here):
    def asked() -> int:
        with CaptureQueriesContext(connection) as told:
            load_reading.read(here.laboratory)
        return len(told)

    sent(here)
    one = asked()
    for code in ("P-8", "P-9"):
        sent(here, code)
    assert asked() == one
    assert one <= 16
