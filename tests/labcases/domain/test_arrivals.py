"""A box that came with a paper: recorded as arrived, with nobody of the office logged in."""

from __future__ import annotations

import pytest
from django.utils import timezone

from labcases.domain import arrivals, box, disinfecting, stages
from labcases.domain.inventory import inventory
from labcases.enums import BoxContent, BoxDirection, Stage
from labcases.management import paper_walk
from labcases.models import Case
from tests.factories import world

pytestmark = pytest.mark.django_db

UNKNOWN = {
    "content": BoxContent.IMPRESSION,
    "count": 2,
    "agent": "",
    "label_minutes": None,
    "actual_minutes": None,
    "disinfected_by": "",
}
PRINTS = {**UNKNOWN, "content": BoxContent.PHOTOGRAPHS, "count": 1}
LOGGED = {
    "agent": "hypochlorite spray",
    "label_minutes": 10,
    "actual_minutes": 10,
    "done_by": "Tomas Abelard",
    "done_at": timezone.now(),
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here) -> Case:
    case = paper_walk.open_case(
        office=here.office, laboratory=here.laboratory, patient_code="MR-207", by=here.lena
    )
    paper_walk.sign_on_paper(case, typed_by=here.lena, confirmed_by=here.mona)
    return Case.objects.get(pk=case.pk)


def test_a_box_that_arrived_is_counted_and_its_unknown_disinfection_is_told(here, case):
    row = arrivals.record(case=case, courier="own round", items=[UNKNOWN], by=here.tomas)

    item = row.items.get()
    assert (item.count, item.received_count) == (2, 2)
    assert row.received_by == here.tomas
    assert disinfecting.of_case(case) == [item]
    held = inventory([row])[0]
    assert (held.laboratory, held.under_way, held.missing) == (2, 0, 0)
    assert case.history.last().changes == {"contents": [None, "2 x impression"]}


def test_with_its_box_a_paper_case_comes_to_be_accepted_by_the_laboratory_alone(here, case):
    row = arrivals.record(case=case, courier="", items=[UNKNOWN, PRINTS], by=here.lena)

    stages.move(case=case, to=Stage.SENT, by=here.lena)
    lacking = [item.text for item in stages.missing(case, Stage.ACCEPTED)]
    disinfecting.log(
        item=row.items.get(content=BoxContent.IMPRESSION), by=here.tomas, values=LOGGED
    )
    stages.move(case=case, to=Stage.ACCEPTED, by=here.tomas)

    assert lacking == [
        "The impression came with no disinfection or one that was too short. Disinfect it and log "
        "it."
    ]

    assert Case.objects.get(pk=case.pk).stage == Stage.ACCEPTED


def test_a_box_that_the_office_packs_still_needs_its_disinfection(here, case):
    box.save(
        case=case,
        box=None,
        version=0,
        direction="to the laboratory",
        courier="",
        items=[UNKNOWN],
        by=here.farah,
    )
    arrivals.record(case=case, courier="", items=[UNKNOWN, PRINTS], by=here.lena)

    lacking = [item.text for item in stages.missing(case, Stage.SENT)]

    assert len(lacking) == 1
    assert lacking[0].startswith("Enter how the impression was disinfected")


def test_people_of_the_house_that_it_came_to_record_it_and_not_once_the_case_has_ended(here, case):
    assert [
        [str(way) for way in arrivals.ways_of(person, case)]
        for person in (here.dora, here.farah, here.tomas, here.lena, here.mona, here.olga)
    ] == [*([["to the office"]] * 2), *([["to the laboratory"]] * 3), []]

    stages.move(case=case, to=Stage.CANCELLED, by=here.mona, reason="asked to")

    assert arrivals.ways_of(here.lena, case) == []


def test_what_came_to_the_office_is_held_there(here, case):
    row = arrivals.record(
        case=case, courier="", items=[UNKNOWN], by=here.farah, direction=BoxDirection.TO_OFFICE
    )

    held = inventory([row])[0]
    assert (held.office, held.laboratory) == (2, 0)
    assert row.received_by == here.farah
