"""Who holds a case, and since when."""

from __future__ import annotations

import pytest

from labcases.domain import case as cases
from labcases.domain import holder, queries
from labcases.domain import question as asking
from labcases.enums import Side, Stage
from labcases.models import Case
from tests.factories import world
from tests.labcases.domain.test_queries import open_one

pytestmark = pytest.mark.django_db


def of(case: Case) -> holder.Holder | None:
    return holder.of(queries.line(Case.objects.get(pk=case.pk)))


@pytest.mark.parametrize(
    ("stage", "words"),
    [
        (Stage.DRAFT, "the office"),
        (Stage.SENT, "the laboratory"),
        (Stage.SET_UP, "the laboratory"),
        (Stage.JAW_RECORDS, "the office"),
        (Stage.TRY_IN, "the office"),
        (Stage.RECEIVED, "the office"),
    ],
)
def test_a_stage_says_who_has_something_to_do(stage, words):
    found = of(open_one(world(), "one", stage=stage))
    assert found.words == words
    assert found.why == str(stage.label).lower()


def test_who_must_answer_comes_before_the_stage():
    here = world()
    case = open_one(here, "one", stage=Stage.SET_UP)
    row = asking.ask(case=case, about="shade", text="A2?", waits_for=Side.OFFICE, by=here.tomas)
    found = of(case)
    assert (found.words, found.why) == ("the office", "a question is open")
    assert found.since == row.waiting_since


def test_a_box_on_the_road_is_with_nobody():
    here = world()
    walk = here.walk()
    walk.to(Stage.SENT)
    found = of(walk.case)
    boxes = walk.case.boxes.filter(received_at__isnull=True)
    assert found.words == ("a box on the road" if boxes else "the laboratory")


def test_on_hold_and_after_the_end_nobody_holds_it():
    here = world()
    case = open_one(here, "one", stage=Stage.SET_UP)
    cases.hold(case=case, reason="away", by=here.dora)
    assert of(case) is None
    assert of(open_one(here, "over", stage=Stage.CANCELLED)) is None
