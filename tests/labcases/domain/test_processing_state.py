"""Where a processing stands: the next step, what is due, and what to mind."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import processing_runs
from labcases.domain import processing_state as states
from labcases.enums import Stage
from labcases.management.walk_curing import RECORD
from tests.factories import world

pytestmark = [pytest.mark.django_db]


@pytest.fixture
def here():
    return world()


@pytest.fixture
def record(here):
    """A function that begins a processing and enters steps, by minutes ago."""
    case = here.walk().to(Stage.PROCESSING)
    now = timezone.now().replace(second=0, microsecond=0)

    def enter(steps=(), **values):
        run = processing_runs.save(case=case, version=0, by=here.tomas, values=RECORD | values)
        for step, minutes in steps:
            processing_runs.log_step(
                run=run, step=step, at=now - timedelta(minutes=minutes), by=here.tomas
            )
        return states.of(run)

    return enter


def test_the_next_step_follows_the_last_that_is_entered(record):
    state = record([("packed", 60), ("in bath", 30)])

    assert state.next_step.label == "Taken out of the bath"
    assert [step.key for step in state.steps_missing()] == ["closed", "out", "deflasked"]


def test_the_end_of_the_cycle_is_counted_from_the_bath_and_the_cooling_from_its_end(record):
    state = record([("packed", 120), ("closed", 110), ("in bath", 60)])
    on = state.steps["in bath"].happened_at

    assert state.out_due - on == timedelta(hours=3)
    assert state.cooled_due - on == timedelta(hours=3, minutes=39)
    assert state.bench_cooled is None
    assert state.cautions() == []


def test_without_a_cycle_nothing_is_due(record):
    state = record([("in bath", 60)], cycle="")

    assert (state.out_due, state.cooled_due) == (None, None)


def codes(state):
    return [one.code for one in state.cautions()]


@pytest.mark.parametrize(
    ("values", "found"),
    [
        ({"cycle": "straight into boiling", "details": {}}, ["boiling-start"]),
        ({"cycle": "short", "details": {"water": "boiling"}}, ["boiling-start"]),
        ({"cycle": "short", "details": {"water": "at the first temperature"}}, []),
        ({"cycle": "long with boil", "details": {"water": "cold"}}, []),
        ({"details": {"closures": "0"}}, ["few-closures"]),
        ({"details": {"closures": "1"}}, ["few-closures"]),
        ({"details": {"closures": "2"}}, []),
    ],
)
def test_what_is_cautioned_of_the_record(record, values, found):
    assert codes(record(**values)) == found


def test_boiling_is_told_with_the_trial_that_found_the_pores(record):
    (caution,) = record(cycle="straight into boiling", details={}).cautions()

    assert caution.text.startswith("This cycle goes straight into boiling water.")
    assert "unless the instructions of the material say otherwise" in caution.text
    assert "Nisar et al., Int J Dent Sci Res 2015;3(3)" in caution.source


@pytest.mark.parametrize(("minutes", "found"), [(29, ["short-dwell"]), (30, [])])
def test_less_than_half_an_hour_in_the_press_is_cautioned(record, minutes, found):
    assert codes(record([("closed", 60), ("in bath", 60 - minutes)])) == found
