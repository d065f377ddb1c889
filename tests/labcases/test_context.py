"""The frame of every page: who is logged in, and the places that are theirs."""

import pytest

from labcases.enums import Role
from tests.factories import MembershipFactory, UserFactory, world

pytestmark = pytest.mark.django_db


def labels(client, user, address="/cases/"):
    client.force_login(user)
    return [item.label for item in client.get(address).context["nav_items"]]


def test_the_laboratory_goes_to_bench_desk_cases_and_its_own_page(client):
    here = world()
    for user in (here.tomas, here.lena, here.mona):
        assert labels(client, user) == ["Bench", "Desk", "Cases", "Tarn Lane Laboratory"]


def test_an_office_has_no_bench(client):
    here = world()
    for user in (here.dora, here.farah):
        assert labels(client, user) == ["Desk", "Cases", "Ferry Street Office"]


def test_who_works_in_two_houses_has_both_pages_and_each_once(client):
    here = world()
    MembershipFactory(user=here.mona, organisation=here.laboratory, role=Role.TECHNICIAN)
    MembershipFactory(user=here.mona, organisation=here.office, role=Role.DENTIST)
    assert sorted(labels(client, here.mona)[3:]) == ["Ferry Street Office", "Tarn Lane Laboratory"]


def test_the_page_that_is_shown_is_marked_and_no_other(client):
    client.force_login(world().farah)
    page = client.get("/cases/").content.decode()
    assert '<a href="/cases/" aria-current="page">Cases</a>' in page
    assert page.count('aria-current="page"') == 1


def test_the_frame_says_who_one_is_and_as_what(client):
    here = world()
    MembershipFactory(user=here.mona, organisation=here.laboratory, role=Role.TECHNICIAN)
    client.force_login(here.mona)
    who = client.get("/cases/").context["who"]
    assert (who["name"], who["initials"]) == ("Mona Ridley", "MR")
    assert set(who["role"].split(", ")) == {"Laboratory manager", "Technician"}
    assert who["organisation"] == "Tarn Lane Laboratory"


def test_a_person_of_no_organisation_has_no_places(client):
    client.force_login(UserFactory())
    answer = client.get("/")
    assert answer.context["nav_items"] == []
    assert "No role, no organisation yet" in answer.content.decode()


def test_before_a_login_the_frame_names_nobody(client):
    page = client.get("/login/")
    assert "who" not in page.context
    assert "Log out" not in page.content.decode()


def test_a_page_that_is_not_there_keeps_the_frame(client):
    client.force_login(world().tomas)
    answer = client.get("/cases/000000000000/")
    assert answer.status_code == 404
    assert "Tomas Abelard" in answer.content.decode()
    assert 'href="/bench/"' in answer.content.decode()
