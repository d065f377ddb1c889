"""Recording a box that nobody announced."""

from __future__ import annotations

import pytest

from labcases.enums import BoxContent, Role, Stage
from labcases.management import paper_walk
from tests.factories import MembershipFactory, world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return paper_walk.open_case(
        office=here.office, laboratory=here.laboratory, patient_code="MR-207", by=here.lena
    )


def filled(**row):
    told = {"content": "impression", "count": "2", "agent": "", **row}
    return {
        "courier": "own round",
        "items-TOTAL_FORMS": "1",
        "items-INITIAL_FORMS": "0",
        **{f"items-0-{name}": value for name, value in told.items()},
    }


def test_it_stands_with_the_boxes_as_taken_in_and_contaminated(here, case):
    browser = logged_in(here.tomas)

    answer = browser.post(f"/cases/{case.code}/boxes/arrived/", filled(), follow=True)

    page = text_of(answer)
    assert (
        "The box is recorded. Impression: treat as contaminated: disinfect and log before handling."
        in page
    )
    assert "Taken in by Tomas Abelard" in page
    history = text_of(browser.get(f"/cases/{case.code}/history/"))
    assert "recorded a box that arrived unannounced: 2 x impression" in history


def test_the_office_records_what_came_to_it_as_well(here):
    case = here.case_at(Stage.JAW_RECORDS)
    browser = logged_in(here.farah)
    assert "Record a box that arrived" in text_of(browser.get(f"/cases/{case.code}/boxes/"))

    answer = browser.post(f"/cases/{case.code}/boxes/arrived/", filled(content="rim"), follow=True)

    assert "To the office Taken in" in text_of(answer)
    assert "Taken in by Farah Kline" in text_of(answer)


def test_who_works_in_both_houses_says_to_which_one_it_came(here, case):
    MembershipFactory(user=here.lena, organisation=here.office, role=Role.FRONT_DESK)
    browser = logged_in(here.lena)
    page = f"/cases/{case.code}/boxes/arrived/"

    refused = browser.post(page, filled())
    browser.post(page, {**filled(), "direction": "to the office"})

    assert "Where the box came: choose one of the two." in text_of(refused)
    assert case.boxes.get().direction == "to the office"


def test_a_declared_disinfection_is_kept(here, case):
    told = filled(agent="hypochlorite", label_minutes="10", actual_minutes="10", disinfected_by="F")

    answer = logged_in(here.lena).post(f"/cases/{case.code}/boxes/arrived/", told, follow=True)

    assert "treat as contaminated" not in text_of(answer)
    item = case.boxes.get().items.get()
    assert (item.agent, item.received_count) == ("hypochlorite", 2)


def test_an_empty_list_is_refused_and_what_was_typed_stays(here, case):
    answer = logged_in(here.lena).post(
        f"/cases/{case.code}/boxes/arrived/", filled(content="", count="")
    )

    assert answer.status_code == 422
    assert "Enter at least one thing that is in the box." in text_of(answer)
    assert b"own round" in answer.content
    assert not case.boxes.exists()


def test_a_box_that_is_announced_is_pointed_at(here):
    case = here.case_at(Stage.SENT)

    page = text_of(logged_in(here.lena).get(f"/cases/{case.code}/boxes/arrived/"))

    assert "1 box on the way is announced already." in page
    assert case.boxes.get().items.filter(content=BoxContent.IMPRESSION).exists()


def test_nobody_of_elsewhere_records_arrivals_and_an_ended_case_takes_none(here, case):
    assert logged_in(here.olga).get(f"/cases/{case.code}/boxes/arrived/").status_code == 404
    boxes = text_of(logged_in(here.lena).get(f"/cases/{case.code}/boxes/"))
    assert "Record a box that arrived" in boxes
