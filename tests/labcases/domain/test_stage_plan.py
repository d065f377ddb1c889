"""A laboratory's own names and days of the stages."""

from datetime import date

import pytest

from labcases.domain import open_days, queries, stage_plan
from labcases.enums.dates import Step
from labcases.models import HouseEntry
from tests.factories import world


@pytest.mark.django_db
def test_each_house_has_its_own_work():
    here = world()
    assert [(one.work.value, one.usual) for one in stage_plan.pieces(here.office)] == [
        ("jaw records", 0),
        ("try-in", 0),
        ("arrival", 2),
    ]
    assert [(one.work.value, one.usual) for one in stage_plan.pieces(here.laboratory)] == [
        ("impression", 1),
        ("tray", 2),
        ("master cast", 2),
        ("mounting", 1),
        ("posterior teeth", 3),
        ("anterior teeth", 1),
        ("final wax", 1),
        ("processing", 3),
    ]
    assert stage_plan.rows(here.office) == []


@pytest.mark.django_db
def test_names_and_days_reach_the_case_and_the_history_and_the_key_stays():
    here = world()
    case = here.walk().case
    before = {row.step: row.on for row in queries.plan_of(case, date(2026, 1, 5))}

    assert stage_plan.save(
        house=here.laboratory,
        names={"draft": "Being written", "sent": " "},
        days={"processing": 4},
        by=here.mona,
    )

    case = type(case).objects.get(pk=case.pk)
    assert (case.stage, case.get_stage_display()) == ("draft", "Being written")
    after = {row.step: row.on for row in queries.plan_of(case, date(2026, 1, 5))}
    assert after[Step.PROCESSING] < before[Step.PROCESSING]
    assert after[Step.DISPATCHED] == before[Step.DISPATCHED]
    assert HouseEntry.objects.get().changes == {
        "name of draft": ["", "Being written"],
        "working days of processing": ["", 4],
    }
    assert here.other_laboratory.stage_days == {}


@pytest.mark.django_db
def test_what_no_plan_can_hold_is_refused_and_nothing_is_stored():
    here = world()

    def save(**given):
        told = {"names": {}, "days": {}, **given}
        return stage_plan.save(house=here.laboratory, **told, by=here.mona)

    with pytest.raises(ValueError, match="Two stages would be called try-in"):
        save(names={"set-up": "try-in"})
    with pytest.raises(ValueError, match="Between arrival at the office and surgery takes"):
        save(days={"arrival": 3})
    with pytest.raises(ValueError, match="Processing, remount and finishing takes 1 to 30"):
        save(days={"processing": 31})
    assert not HouseEntry.objects.exists()


@pytest.mark.django_db
def test_a_dentist_says_how_long_before_surgery_the_denture_is_to_arrive():
    here = world()
    case = here.walk().case
    before = {row.step: row.on for row in queries.plan_of(case, date(2026, 1, 5))}

    assert stage_plan.may_keep(here.dora, here.office)
    assert not stage_plan.may_keep(here.mona, here.office)
    stage_plan.save(house=here.office, names={}, days={"arrival": 4, "try-in": 1}, by=here.dora)

    case = type(case).objects.get(pk=case.pk)
    after = {row.step: row.on for row in queries.plan_of(case, date(2026, 1, 5))}
    assert open_days.working_days_between(after[Step.RECEIVED], before[Step.RECEIVED]) == 2
    assert open_days.working_days_between(after[Step.SENT], before[Step.SENT]) == 3
