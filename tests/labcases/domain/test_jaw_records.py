"""Jaw records: what each holds, in a sentence, and what to mind before they mount casts."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from labcases.domain import jaw_records
from labcases.models import TakenRecord
from labcases.views._sentences import sentence
from tests.factories import world
from tests.labcases.models.limits import assert_held, measured

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

MI, CR = "maximum intercuspation", "centric relation"


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    """The prescription asks for a record in maximum intercuspation."""
    walk = here.walk()
    walk.prescribe()
    return walk.reload()


def enter(here, case, kind=MI, vertical=None, **more):
    values = {
        "kind": kind,
        "taken_at": timezone.now() - timedelta(hours=1),
        "taken_by": "Dora Winsley",
        "vertical_mm": None if vertical is None else Decimal(vertical),
    }
    return jaw_records.add(case=case, by=here.tomas, values=values | more)


def test_a_record_is_told_in_a_sentence_and_struck_out_in_another(here, case):
    row = enter(here, case, vertical="68", material="hard wax")

    jaw_records.strike(row=row, reason="of the first visit", by=here.mona)

    entered, struck = (sentence(entry) for entry in case.history.order_by("id").reverse()[:2][::-1])
    assert 'entered a jaw record, "Maximum intercuspation record, hard wax, taken ' in entered
    assert entered.endswith('by Dora Winsley, at a vertical of 68\N{NO-BREAK SPACE}mm".')
    assert struck.startswith("Mona Ridley (laboratory manager) struck out a jaw record")
    assert struck.endswith("Reason: of the first visit.")
    assert jaw_records.standing(case) == []


# Kinds with their verticals -> the codes of what to mind.
TO_MIND = [
    ([], []),
    ([(MI, "68")], []),
    ([(MI, "68"), (MI, "68")], []),
    ([(MI, "68"), (MI, None)], []),
    ([(MI, "68"), (CR, "70")], []),
    ([(CR, "68")], ["record-not-as-prescribed"]),
    ([(MI, "68"), (MI, "69.5")], ["records-at-unlike-verticals"]),
    ([(MI, "68"), (CR, "68"), (CR, "70")], ["records-at-unlike-verticals"]),
    ([(CR, "68"), (CR, "70")], ["record-not-as-prescribed", "records-at-unlike-verticals"]),
    ([("protrusive", "70")], []),
    ([("right lateral", None), ("left lateral", None)], []),
]


@pytest.mark.parametrize(("entered", "codes"), TO_MIND)
def test_records_are_held_against_the_prescription_and_each_other(here, case, entered, codes):
    for kind, vertical in entered:
        enter(here, case, kind, vertical)

    assert [one.code for one in jaw_records.cautions(case)] == codes


def test_a_record_that_is_struck_out_is_not_minded(here, case):
    enter(here, case, vertical="68")
    row = enter(here, case, vertical="70")
    (caution,) = jaw_records.cautions(case)
    assert "at verticals of 68\N{NO-BREAK SPACE}mm and 70\N{NO-BREAK SPACE}mm" in caution.text

    jaw_records.strike(row=row, reason="read wrongly", by=here.tomas)

    assert jaw_records.cautions(case) == []


def test_no_vertical_is_stored_that_no_face_has(here, case):
    row = enter(here, case)

    assert set(measured(TakenRecord)) == {"vertical_mm"}
    assert_held(row, "vertical_mm", "20", "120")
