"""Minutes of people and jobs, who does what when, and a levelling that is taken over."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases.domain import bench_plan, load_reading, queries, undo
from labcases.domain.bench_plan import Changed, Wish
from labcases.domain.open_days import ahead, open_from
from labcases.domain.versions import EditConflict
from labcases.enums import Stage
from labcases.enums.load import BenchJob
from labcases.models import BenchTask
from tests.factories import world
from tests.walls_load import too_full

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

J = BenchJob


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    """Before the final wax, with weeks until the surgery."""
    return here.walk(surgery_in_days=60).to(Stage.FINAL_WAX)


def plan(here, case, which=J.WAX_UP, version=0, **values):
    told = {"technician": None, "planned_on": None, "minutes": None, **values}
    return bench_plan.save_task(case=case, which=which, version=version, by=here.tomas, **told)


# --- jobs ----------------------------------------------------------------------------------------


def test_who_and_when_is_kept_and_told_in_the_history_and_can_be_undone(here, case):
    day = ahead(timezone.localdate(), 4)
    row = plan(here, case, technician=here.tomas, planned_on=day, minutes=50)

    assert (row.technician, row.planned_on, row.minutes, row.version) == (here.tomas, day, 50, 1)
    entry = case.history.last()
    assert (entry.part, entry.act) == ("bench plan", "entered")
    assert entry.changes == {
        "technician": [None, "Tomas Abelard"],
        "planned day": [None, str(day)],
        "minutes at the bench": [None, 50],
    }
    undo.undo(case=case, numbers=[entry.sequence], by=here.tomas)
    assert not BenchTask.objects.exists()


def test_two_people_who_plan_one_job_do_not_overwrite_each_other(here, case):
    first = plan(here, case, minutes=50)
    plan(here, case, minutes=60, version=first.version)
    with pytest.raises(EditConflict, match="saved this part while you had it open"):
        plan(here, case, minutes=70, version=first.version)
    assert BenchTask.objects.get().minutes == 60


def test_saying_nothing_stores_nothing(here, case):
    plan(here, case)
    assert not BenchTask.objects.exists()


def test_what_is_not_possible_is_refused_in_words(here, case):
    job = bench_plan.own(case, J.WAX_UP).job
    with pytest.raises(ValueError, match=r"Wax-up can stand from \d\d-\w{3}-\d{4} to"):
        plan(here, case, planned_on=job.latest + timedelta(days=1))
    sunday = next(
        job.earliest + timedelta(n)
        for n in range(7)
        if (job.earliest + timedelta(n)).isoweekday() == 7
    )
    with pytest.raises(ValueError, match=r"is closed on .*\. Choose an open day\."):
        plan(here, case, planned_on=sunday)
    with pytest.raises(ValueError, match="somebody who works at this bench"):
        plan(here, case, technician=here.lena)
    with pytest.raises(ValueError, match="A job takes 1 to 600"):
        plan(here, case, minutes=601)
    with pytest.raises(ValueError, match="Tray is not ahead of this case any more"):
        plan(here, case, which=J.TRAY, minutes=10)
    assert not BenchTask.objects.exists()


# --- levelling -----------------------------------------------------------------------------------


def test_a_proposal_changes_nothing_until_it_is_taken_over(here, case):
    first = too_full(case, here.tomas, here.mona)
    latest = {row.step: row.on for row in queries.plan_of(case)}
    load = load_reading.read(here.laboratory)
    found = bench_plan.propose(load)

    assert (found.before, found.after) == (53, 0)
    (move,) = found.moves
    assert (move.job.job, move.job.on) == (J.WAX_UP, first)
    assert set(BenchTask.objects.values_list("job", "version")) == {("wax-up", 1), ("flasking", 1)}

    wish = Wish(case.code, J.WAX_UP, move.to)
    assert bench_plan.take_over(laboratory=here.laboratory, wishes=[wish], by=here.mona) == 1

    assert BenchTask.objects.get(job="wax-up").planned_on == move.to
    assert load_reading.read(here.laboratory).over == 0
    entry = case.history.last()
    assert (entry.part, entry.act, entry.by) == ("bench plan", "levelled", here.mona)
    assert entry.changes == {"planned day": [str(first), str(move.to)]}
    case.refresh_from_db()
    assert {row.step: row.on for row in queries.plan_of(case)} == latest


def test_what_no_longer_fits_is_not_taken_over(here, case):
    first = too_full(case, here.tomas, here.mona)

    def take(*wishes: tuple[BenchJob, date]) -> None:
        told = [Wish(case.code, which, on) for which, on in wishes]
        bench_plan.take_over(laboratory=here.laboratory, wishes=told, by=here.mona)

    with pytest.raises(Changed, match="can no longer stand on"):
        take((J.WAX_UP, first - timedelta(days=1)))
    with pytest.raises(Changed, match="Tray of case"):
        take((J.TRAY, first))
    with pytest.raises(Changed, match="out of order"):
        take((J.WAX_UP, ahead(first, 3)))
    with pytest.raises(Changed):
        take((J.WAX_UP, ahead(first, 1)), (J.FLASKING, first - timedelta(days=3)))
    assert BenchTask.objects.get(job="wax-up").planned_on == open_from(timezone.localdate())
