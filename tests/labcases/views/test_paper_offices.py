"""The manager adds an office that sends paper, and later invites a dentist of it."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from labcases.domain import paper_offices
from labcases.models import Invitation, Organisation, User
from tests.factories import world
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db

TOLD = {
    "name": "Sluice Road Office",
    "address": "4 Sluice Road",
    "notation": "Universal",
    "profile": "",
    "dentist_1": "Ilse Rowan",
    "licence_1": "D-6120",
    "dentist_2": "",
    "licence_2": "",
    "dentist_3": "",
    "licence_3": "",
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def office(here) -> Organisation:
    logged_in(here.mona).post(f"/organisations/{here.laboratory.pk}/paper-offices/new/", TOLD)
    return Organisation.objects.get(name="Sluice Road Office")


def test_it_stands_among_the_offices_that_send_cases(here, office):
    page = text_of(logged_in(here.mona).get(f"/organisations/{here.laboratory.pk}/"))

    assert "Sluice Road Office sends paper" in page
    assert office.paper_dentists.get().licence_number == "D-6120"
    desk = logged_in(here.lena).get(f"/organisations/{here.laboratory.pk}/")
    assert f"/paper-offices/{office.pk}/".encode() not in desk.content


def test_what_is_missing_is_said_at_its_box(here):
    answer = logged_in(here.mona).post(
        f"/organisations/{here.laboratory.pk}/paper-offices/new/",
        {**TOLD, "name": "", "address": "", "notation": "", "dentist_1": "", "licence_2": "D-1"},
    )

    page = text_of(answer)
    assert answer.status_code == 422
    for said in (
        "Enter the name; it stands on papers.",
        "Enter the address as it stands on the office's papers.",
        "Say which tooth numbers the office writes.",
        "Enter at least one dentist who signs there.",
        "Enter whose licence number that is.",
    ):
        assert said in page
    assert not Organisation.objects.filter(address="4 Sluice Road").exists()


def test_it_is_corrected_on_its_own_page(here, office):
    browser = logged_in(here.mona)
    assert b'value="Ilse Rowan"' in browser.get(f"/paper-offices/{office.pk}/").content

    browser.post(
        f"/paper-offices/{office.pk}/", {**TOLD, "dentist_2": "Odd Farrow", "licence_2": "D-9"}
    )

    assert [str(one) for one in office.paper_dentists.all()] == ["Ilse Rowan", "Odd Farrow"]


def test_a_dentist_who_is_invited_comes_into_that_very_office(here, office):
    browser = logged_in(here.mona)

    made = browser.post(f"/paper-offices/{office.pk}/invite/", {"invited_name": "Ilse Rowan"})

    assert made.status_code == 201
    assert "Ilse Rowan comes in to Sluice Road Office as dentist." in text_of(made)
    link = re.search(r"/join/[\w-]+/", made.content.decode()).group()
    joined = Client().post(
        link,
        {
            "username": "ilse",
            "full_name": "Ilse Rowan",
            "password": "a kettle on the window sill",
            "password_again": "a kettle on the window sill",
            "licence_number": "D-6120",
        },
    )
    assert joined.status_code == 302
    ilse = User.objects.get(username="ilse")
    assert [row.organisation for row in ilse.memberships.all()] == [office]
    assert not paper_offices.is_on_paper(office)
    assert browser.get(f"/paper-offices/{office.pk}/").status_code == 404
    assert logged_in(ilse).get(f"/organisations/{office.pk}/change/").status_code == 200


def test_the_link_is_withdrawn_by_the_manager_who_made_it(here, office):
    browser = logged_in(here.mona)
    browser.post(f"/paper-offices/{office.pk}/invite/", {"invited_name": "Ilse Rowan"})
    row = Invitation.objects.get()
    assert "Withdraw the invitation for Ilse Rowan" in text_of(
        browser.get(f"/paper-offices/{office.pk}/")
    )

    answer = browser.post(f"/invitations/{row.pk}/withdraw/")

    row.refresh_from_db()
    assert row.withdrawn
    assert answer.url == f"/paper-offices/{office.pk}/"


def test_an_office_whose_people_log_in_is_none_of_these(here):
    assert logged_in(here.mona).get(f"/paper-offices/{here.office.pk}/").status_code == 404


def test_the_manager_enters_the_telephone_that_the_office_gives_its_patients(here, office):
    mona = logged_in(here.mona)
    url = f"/paper-offices/{office.pk}/"
    refused = mona.post(url, {**TOLD, "emergency_telephone": "by night"})
    assert refused.status_code == 422
    assert "“by night” cannot be dialled." in text_of(refused)

    assert mona.post(url, {**TOLD, "emergency_telephone": "01632 960 155"}).status_code == 302

    office.refresh_from_db()
    assert office.emergency_telephone == "01632 960 155"
    assert 'value="01632 960 155"' in mona.get(url).text
