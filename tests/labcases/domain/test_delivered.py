"""A delivery that nobody reported: from which day on, at which stages, and in which words."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import pytest

from labcases.domain import delivered
from labcases.enums import Stage

SURGERY = date(2026, 3, 26)


def case(stage: Stage, row: Any = None, day: date | None = SURGERY) -> Any:
    return SimpleNamespace(stage=stage, surgery_on=day, delivery=row)


REPORTED = SimpleNamespace(delivered_on=SURGERY, reported=True)
BEGUN = SimpleNamespace(delivered_on=None, reported=True)


@pytest.mark.parametrize(
    ("stage", "row", "after", "unreported"),
    [
        (Stage.RECEIVED, None, 13, False),
        (Stage.RECEIVED, None, 14, True),
        (Stage.DISPATCHED, None, 14, True),
        (Stage.RECEIVED, BEGUN, 14, True),
        (Stage.RECEIVED, REPORTED, 30, False),
        (Stage.RELEASED, None, 30, False),
        (Stage.DELIVERED, None, 30, False),
    ],
)
def test_from_the_fourteenth_day_on_a_report_is_missing(stage, row, after, unreported):
    today = SURGERY + timedelta(days=after)
    assert delivered.is_unreported(case(stage, row), today) is unreported


@pytest.mark.parametrize(
    ("stage", "after", "words"),
    [
        (Stage.SET_UP, -20, "not yet delivered"),
        (Stage.RECEIVED, 13, "not yet delivered"),
        (Stage.RECEIVED, 14, "not reported"),
        (Stage.DISPATCHED, 14, "not reported"),
        (Stage.RELEASED, 30, "not yet delivered"),
        (Stage.IN_REVIEW, 1, "not reported"),
        (Stage.CLOSED, 300, "not reported"),
        (Stage.CANCELLED, 300, "not delivered"),
        (Stage.DECLINED, 1, "not delivered"),
    ],
)
def test_a_day_that_is_not_known_says_why(stage, after, words):
    assert delivered.no_day_words(case(stage), SURGERY + timedelta(days=after)) == words


def test_without_a_surgery_day_nothing_is_missing():
    assert not delivered.is_unreported(case(Stage.RECEIVED, day=None), date(2030, 1, 1))


def test_the_desks_read_how_long_ago_the_day_was():
    told = delivered.words(case(Stage.RECEIVED), date(2026, 4, 12))
    assert told == "Delivered, not reported: the surgery day was 17 days ago."
    assert delivered.words(case(Stage.RECEIVED, REPORTED), date(2026, 4, 12)) == ""


def test_teeth_are_held_against_those_of_the_plan():
    plan = {"13": "extract at surgery", "12": "stop until surgery", "11": "lost", "17": "stays"}
    asked: Any = SimpleNamespace(prescription=SimpleNamespace(teeth=plan))
    assert delivered.planned(asked) == ["12", "13"]
    row: Any = SimpleNamespace(teeth_out=["13", "17"])
    assert delivered.otherwise(asked, row) == (["12"], ["17"])
