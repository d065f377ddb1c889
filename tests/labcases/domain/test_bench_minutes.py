"""Minutes of jobs and people at the bench."""

from __future__ import annotations

import pytest

from labcases.domain import bench_minutes, load_reading
from labcases.enums.load import BenchJob
from labcases.models import BenchMinutes, HouseEntry
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

J = BenchJob


@pytest.fixture
def here():
    return world()


def test_a_laboratory_plans_with_its_own_minutes_and_says_so_in_its_history(here):
    assert bench_minutes.save_job_minutes(
        laboratory=here.laboratory, minutes={"wax-up": 40}, by=here.mona
    )
    assert not bench_minutes.save_job_minutes(
        laboratory=here.laboratory, minutes={"wax-up": 40}, by=here.mona
    )
    assert load_reading.minutes_of(here.laboratory)[J.WAX_UP] == 40
    assert load_reading.minutes_of(here.laboratory)[J.FLASKING] == 90
    assert HouseEntry.objects.get().changes == {"minutes of wax-up": ["", 40]}
    with pytest.raises(ValueError, match="Wax-up takes 1 to 600 minutes"):
        bench_minutes.save_job_minutes(
            laboratory=here.laboratory, minutes={"wax-up": 0}, by=here.mona
        )


def test_people_have_minutes_by_weekday(here):
    def save(minutes, who=here.tomas):
        return bench_minutes.save_people_minutes(
            laboratory=here.laboratory, minutes={who.pk: minutes}, by=here.mona
        )

    assert save({1: 300, 5: 0})
    assert not save({1: 300})
    assert BenchMinutes.objects.get().by_weekday == {"1": 300}
    assert save({1: 240, 2: 60})
    assert [row.changes for row in HouseEntry.objects.order_by("pk")] == [
        {"minutes of Tomas Abelard": ["", "Mon 300"]},
        {"minutes of Tomas Abelard": ["Mon 300", "Mon 240, Tue 60"]},
    ]
    with pytest.raises(ValueError, match="0 to 720 minutes"):
        save({1: 721})
    with pytest.raises(ValueError, match="Only people of this bench"):
        save({1: 60}, here.olga)
    assert BenchMinutes.objects.get().by_weekday == {"1": 240, "2": 60}


def test_who_may_what(here):
    for who, reads, keeps in (
        (here.tomas, True, False),
        (here.mona, True, True),
        (here.lena, False, False),
        (here.dora, False, False),
        (here.olga, False, False),
    ):
        assert bench_minutes.may_read(who, here.laboratory) == reads
        assert bench_minutes.may_keep(who, here.laboratory) == keeps
