"""A laboratory's own names and days of the stages."""

from datetime import date

import pytest

from labcases.domain import queries, stage_plan
from labcases.enums import Stage
from labcases.models import HouseEntry
from tests.factories import world


def test_usual_days_are_told_by_route_where_they_differ():
    assert stage_plan.usual_words(Stage.PROCESSING) == "3"
    assert stage_plan.usual_words(Stage.SENT) == "1 (conventional), 2 (interim)"
    assert stage_plan.usual_words(Stage.CLOSED) == ""


@pytest.mark.django_db
def test_names_and_days_reach_the_case_and_the_history_and_the_key_stays():
    here = world()
    case = here.walk().case
    before = {row.stage: row.on for row in queries.plan_of(case, date(2026, 1, 5))}

    assert stage_plan.save(
        laboratory=here.laboratory,
        names={"draft": "Being written", "sent": " "},
        days={"processing": 4},
        by=here.mona,
    )

    case = type(case).objects.get(pk=case.pk)
    assert (case.stage, case.get_stage_display()) == ("draft", "Being written")
    after = {row.stage: row.on for row in queries.plan_of(case, date(2026, 1, 5))}
    assert after[Stage.PROCESSING] < before[Stage.PROCESSING]
    assert after[Stage.DISPATCHED] == before[Stage.DISPATCHED]
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
        return stage_plan.save(laboratory=here.laboratory, **told, by=here.mona)

    with pytest.raises(ValueError, match="Two stages would be called try-in"):
        save(names={"set-up": "try-in"})
    with pytest.raises(ValueError, match="Closed takes 1 to 30 working days"):
        save(days={"closed": 3})
    with pytest.raises(ValueError, match="Processing takes 1 to 30"):
        save(days={"processing": 31})
    assert not HouseEntry.objects.exists()
