"""A flask or bath that another case has at the same time is said, to the laboratory alone."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.codes import grouped
from labcases.domain import occupancy, processing_runs
from labcases.domain import processing_state as states
from labcases.enums import Stage
from labcases.management.walk import Hands, start
from labcases.management.walk_curing import RECORD
from tests import walls_curing
from tests.factories import OfficeLinkFactory, member, world

pytestmark = [pytest.mark.django_db]


@pytest.fixture
def here():
    return world()


def processed(here, code, steps=(), **values):
    """A case at processing, with steps by minutes ago."""
    case = here.walk(patient_code=code).to(Stage.PROCESSING)
    run = processing_runs.save(case=case, version=0, by=here.tomas, values=RECORD | values)
    for step, minutes in steps:
        at = timezone.now() - timedelta(minutes=minutes)
        processing_runs.log_step(run=run, step=step, at=at, by=here.tomas)
    return run


def said(run):
    found = occupancy.cautions(states.of(run), now=timezone.now())
    return [(one.code, one.text) for one in found]


def codes(run):
    return [code for code, _text in said(run)]


IN_BATH = [("packed", 90), ("closed", 80), ("in bath", 20)]
DONE = [("packed", 400), ("in bath", 340), ("out", 100), ("deflasked", 30)]


def test_a_flask_in_use_is_said_with_its_case_and_until_when(here):
    other = processed(here, "P-2", IN_BATH)
    run = processed(here, "P-1", place="9")

    ((code, text),) = said(run)

    assert code == "flask-in-use"
    assert text.startswith(f"Flask 3 is in use: case {grouped(other.case.code)}, from ")
    assert " to about " in text


@pytest.mark.parametrize("flask", ["3", " 3 "])
def test_a_flask_that_is_deflasked_is_free(here, flask):
    processed(here, "P-2", DONE)

    assert codes(processed(here, "P-1", flask=flask)) == []


def test_a_flask_that_was_in_use_at_the_time_is_said_afterwards_too(here):
    processed(here, "P-2", DONE)

    run = processed(here, "P-1", [("packed", 380)], place="9")

    assert codes(run) == ["flask-in-use"]


@pytest.mark.parametrize(
    ("values", "found"),
    [
        ({"flask": "4"}, ["place-shared"]),
        ({"flask": "4", "cycle": "long with boil"}, ["place-in-use"]),
        ({"flask": "4", "place": "2"}, []),
        ({"flask": "4", "place": ""}, []),
    ],
)
def test_a_bath_is_shared_by_one_cycle_only(here, values, found):
    processed(here, "P-2", IN_BATH)

    assert codes(processed(here, "P-1", **values)) == found


def test_what_has_not_begun_or_was_given_up_takes_nothing(here):
    processed(here, "P-2")
    given_up = processed(here, "P-3", IN_BATH)
    processing_runs.give_up(row=given_up, version=given_up.version, reason="porous", by=here.tomas)

    assert codes(processed(here, "P-1")) == []


def test_another_laboratory_has_flasks_of_its_own(here):
    OfficeLinkFactory(office=here.other_office, laboratory=here.other_laboratory)
    there = member("Ines Vale", here.other_laboratory, "technician")
    other = start(
        office=here.other_office,
        laboratory=here.other_laboratory,
        hands=Hands(here.olga, here.olga, there, there, there),
        patient_code="P-2",
        surgery_on=None,
    ).case
    walls_curing.processed(other, here.tomas)
    other.processing_runs.update(flask="3", place="1")

    assert codes(processed(here, "P-1")) == []
