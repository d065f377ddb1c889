"""The page of one person of a house, and how they are stopped."""

import pytest
from django.urls import reverse

from labcases.domain import access
from tests.factories import world

pytestmark = pytest.mark.django_db


def ask(client, user, whom, name="member", house=None, **given):
    client.force_login(user)
    address = reverse(name, args=[house.pk, whom.pk])
    return client.post(address, given) if given else client.get(address)


def test_a_manager_gives_a_second_role(client):
    here = world()
    shown = ask(client, here.mona, here.tomas, house=here.laboratory).content.decode()
    assert "Tomas Abelard at Tarn Lane Laboratory" in shown
    assert "Dentist" not in shown

    answer = ask(
        client,
        here.mona,
        here.tomas,
        house=here.laboratory,
        wanted=["technician", "front desk"],
    )

    assert answer.status_code == 302
    assert {row.role for row in access.memberships(here.tomas)} == {"technician", "front desk"}


def test_no_role_at_all_is_a_page_of_its_own(client):
    here = world()
    refused = ask(client, here.mona, here.tomas, house=here.laboratory, go="Save the roles")
    assert refused.status_code == 422
    assert "Choose at least one role, or stop the person" in refused.content.decode()

    asked = ask(client, here.mona, here.tomas, "member_stop", house=here.laboratory)
    assert "has these roles of Tarn Lane Laboratory: technician." in asked.content.decode()
    ask(client, here.mona, here.tomas, "member_stop", house=here.laboratory, go="1")
    assert access.memberships(here.tomas) == []


def test_the_last_manager_neither_demotes_nor_stops_themself(client):
    here = world()
    demoted = ask(client, here.mona, here.mona, house=here.laboratory, wanted=["technician"])
    assert demoted.status_code == 422
    assert "is the last laboratory manager of Tarn Lane" in demoted.content.decode()
    ask(client, here.mona, here.mona, "member_stop", house=here.laboratory, go="1")
    assert {row.role for row in access.memberships(here.mona)} == {"laboratory manager"}


def test_a_dentist_does_the_same_for_the_own_office(client):
    here = world()
    answer = ask(client, here.dora, here.farah, house=here.office, wanted=["dentist"])
    assert answer.status_code == 302
    assert {row.role for row in access.memberships(here.farah)} == {"dentist"}


def test_a_person_who_is_not_here_has_no_page(client):
    here = world()
    assert ask(client, here.mona, here.dora, house=here.laboratory).status_code == 404
    assert ask(client, here.tomas, here.lena, house=here.laboratory).status_code == 403
