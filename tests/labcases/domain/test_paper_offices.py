"""Offices in which nobody logs in, and how they become offices like any other."""

from __future__ import annotations

import pytest

from labcases.domain import access, paper_offices, people
from labcases.domain.paper_offices import HasPeople
from labcases.enums import Notation, Role
from labcases.models import Membership, User
from tests.factories import member, world

pytestmark = pytest.mark.django_db

DENTISTS = [
    {"name": "Ilse Rowan", "licence_number": "D-6120"},
    {"name": "Odd Farrow", "licence_number": ""},
]
TOLD = {
    "name": "Sluice Road Office",
    "address": "4 Sluice Road",
    "notation": Notation.UNIVERSAL,
    "profile": "",
    "dentists": DENTISTS,
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def office(here):
    return paper_offices.add(laboratory=here.laboratory, by=here.mona, **TOLD)


def test_it_is_linked_at_once_with_its_dentists(here, office):
    assert here.laboratory.office_links.filter(office=office, active=True).exists()
    assert list(office.paper_dentists.values_list("name", "licence_number")) == [
        ("Ilse Rowan", "D-6120"),
        ("Odd Farrow", ""),
    ]
    assert (office.kind, office.notation) == ("office", "Universal")
    assert paper_offices.is_on_paper(office)


def test_the_manager_of_its_laboratory_looks_after_it_and_nobody_else(here, office):
    assert paper_offices.may_change(here.mona, office)
    stranger = member("Otto Weir", here.other_laboratory, Role.MANAGER)
    for person in (here.lena, here.tomas, here.dora, stranger):
        assert not paper_offices.may_change(person, office)
    assert not paper_offices.may_change(here.mona, here.office)


def test_it_is_corrected_with_new_dentists_in_the_place_of_the_old(here, office):
    paper_offices.change(
        office=office, by=here.mona, **{**TOLD, "name": "Sluice Office", "dentists": DENTISTS[:1]}
    )

    office.refresh_from_db()
    assert office.name == "Sluice Office"
    assert [one.name for one in office.paper_dentists.all()] == ["Ilse Rowan"]


def test_a_dentist_who_follows_the_link_makes_it_an_office_like_any_other(here, office):
    made = paper_offices.invite(office=office, invited_name="Ilse Rowan", by=here.mona)
    assert paper_offices.open_invitations(office) == [made.invitation]

    ilse = people.accept(
        secret=made.secret, username="ilse", full_name="Ilse Rowan", password="x" * 20
    )

    assert people.roles_to_invite(ilse, office) == access.OFFICE_ROLES
    assert not paper_offices.is_on_paper(office)
    assert paper_offices.open_invitations(office) == []
    with pytest.raises(HasPeople) as refused:
        paper_offices.invite(office=office, invited_name="Odd Farrow", by=here.mona)
    assert str(refused.value) == (
        "Somebody of Sluice Road Office logs in now. A dentist of it changes what stands for it "
        "and invites the others."
    )
    with pytest.raises(HasPeople):
        paper_offices.change(office=office, by=here.mona, **TOLD)


def test_an_office_whose_people_have_left_does_not_fall_to_its_laboratory(here):
    Membership.objects.filter(organisation=here.office).update(active=False)

    assert not paper_offices.is_on_paper(here.office)
    assert not paper_offices.may_change(here.mona, here.office)
    assert User.objects.filter(memberships__organisation=here.office).count() == 2
