"""The laboratory opens a case from a signed paper; it never asks for a patient's name."""

from __future__ import annotations

import pytest

from labcases.domain import case as cases
from labcases.enums import Stage
from labcases.models import Case, OfficeLink, PatientName
from tests.factories import world
from tests.labcases.views.pages import logged_in, text_of
from tests.labcases.views.prescribing import step_url

pytestmark = pytest.mark.django_db
NEW = "/cases/new/paper/"


@pytest.fixture
def here():
    return world()


def posted(here, **more):
    link = OfficeLink.objects.get(office=here.office, laboratory=here.laboratory)
    return {"link": link.pk, "patient_code": "MR-207", "surgery_on": ""} | more


def test_the_page_lists_the_linked_offices_and_has_no_box_for_a_name(here):
    answer = logged_in(here.lena).get(NEW)

    page = text_of(answer)
    assert answer.status_code == 200
    assert "Ferry Street Office" in page
    assert "Hollins Office" in page
    assert "The code as it stands on the paper. No names of patients." in page
    assert b"patient_name" not in answer.content


def test_the_case_opens_at_the_first_step_and_the_desk_types_there(here):
    browser = logged_in(here.lena)

    answer = browser.post(NEW, posted(here, patient_name="Ada Quill"))

    case = Case.objects.get()
    assert answer.url == step_url(case, "teeth")
    assert not PatientName.objects.exists()
    page = text_of(browser.get(answer.url))
    assert "Type what the paper says; what it leaves open stays open." in page
    assert "Save and go on" in page
    assert "R01, draft, from a signed paper" in page


def test_without_a_code_or_an_office_it_says_what_to_do_and_keeps_the_rest(here):
    answer = logged_in(here.lena).post(NEW, {"surgery_on": "12-Mar-2035"})

    page = text_of(answer)
    assert answer.status_code == 422
    assert "Choose the office that sent the paper." in page
    assert "Enter the patient code as it stands on the paper." in page
    assert b"12-Mar-2035" in answer.content


def test_an_office_that_is_not_linked_is_refused(here):
    other = OfficeLink.objects.create(office=here.office, laboratory=here.other_laboratory)

    answer = logged_in(here.lena).post(NEW, posted(here, link=other.pk))

    assert answer.status_code == 422
    assert "That office is not linked. Choose one of the list." in text_of(answer)


def test_another_open_case_of_the_patient_is_mentioned_if_the_laboratory_has_it(here):
    browser = logged_in(here.lena)
    browser.post(NEW, posted(here))
    first = Case.objects.get()

    page = text_of(browser.get(browser.post(NEW, posted(here)).url))

    assert f"Patient MR-207 has another open case: {first.code[:4]}" in page


def test_a_case_of_the_patient_at_another_laboratory_is_nobody_s_business_here(here):
    OfficeLink.objects.create(office=here.office, laboratory=here.other_laboratory)
    cases.open_case(
        office=here.office, laboratory=here.other_laboratory, patient_code="MR-207", by=here.dora
    )
    browser = logged_in(here.lena)

    page = text_of(browser.get(browser.post(NEW, posted(here)).url))

    assert "is open. Type what the paper says" in page
    assert "another open case" not in page


def test_the_list_of_cases_offers_it_to_desk_and_manager_only(here):
    offered = {
        who: "Open a case from a signed paper" in text_of(logged_in(person).get("/cases/"))
        for who, person in (("lena", here.lena), ("mona", here.mona), ("tomas", here.tomas))
    }

    assert offered == {"lena": True, "mona": True, "tomas": False}


def test_a_later_paper_begins_the_next_revision_from_the_page_of_the_prescription(here):
    case = here.case_at(Stage.SENT)
    browser = logged_in(here.lena)
    page = text_of(browser.get(f"/cases/{case.code}/prescription/"))
    assert "Type a signed paper as the next revision" in page

    answer = browser.post(f"/cases/{case.code}/signed-papers/begin/", follow=True)

    assert "Revision 2 is typed from a signed paper now." in text_of(answer)
    assert case.signed_papers.get().prescription.revision == 2


def test_a_draft_that_the_office_writes_is_not_typed_over(here):
    walk = here.walk()
    walk.prescribe()

    answer = logged_in(here.lena).post(f"/cases/{walk.case.code}/signed-papers/begin/", follow=True)

    assert "Dora Winsley has written into revision 1 already." in text_of(answer)


def test_the_desk_gets_no_defaults_where_the_paper_says_nothing(here):
    browser = logged_in(here.lena)
    browser.post(NEW, posted(here))
    case = Case.objects.get()

    desk = text_of(browser.get(step_url(case, "materials")))
    dentist = text_of(logged_in(here.dora).get(step_url(case, "materials")))

    assert "Choices that you make often" in dentist
    assert "Choices that you make often" not in desk
