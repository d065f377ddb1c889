"""How people come in, what they may hand out, and how they go."""

import logging
from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import access, people, roles
from labcases.domain.people import LinkSpent, NameTaken
from labcases.enums import Notation, OrganisationKind, PaperSize, Role
from labcases.models import Invitation, Membership, OfficeLink, Organisation, User
from tests.factories import OrganisationFactory, member, world

pytestmark = pytest.mark.django_db

PASSWORD = "a kettle on the window sill"


def invited(here, role=Role.TECHNICIAN, **more):
    return people.invite(
        organisation=here.laboratory, role=role, invited_name="Nils Orme", by=here.mona, **more
    )


def as_new_person(secret, username="nils", **more):
    return people.accept(
        secret=secret, username=username, full_name="Nils Orme", password=PASSWORD, **more
    )


class TestLaboratory:
    def test_it_opens_with_a_manager_who_can_log_in(self):
        user = people.open_laboratory(
            name="Tinsmith Row Laboratory",
            address="4 Tinsmith Row",
            username="ina",
            full_name="Ina Voss",
            password=PASSWORD,
        )
        held = Membership.objects.get(user=user)
        assert held.role == "laboratory manager"
        assert held.organisation.kind == "laboratory"
        assert held.organisation.address == "4 Tinsmith Row"
        assert user.check_password(PASSWORD)


class TestInvitation:
    def test_only_a_digest_of_the_secret_is_kept(self):
        made = invited(world())
        kept = list(Invitation.objects.filter(pk=made.invitation.pk).values_list().get())
        assert len(made.secret) >= 43
        assert not any(made.secret in str(value) for value in kept)

    def test_a_new_person_gets_the_role_that_was_offered(self):
        here = world()
        user = as_new_person(invited(here).secret)
        assert [(row.organisation, row.role) for row in access.memberships(user)] == [
            (here.laboratory, "technician")
        ]
        assert user.check_password(PASSWORD)

    def test_it_works_once(self):
        secret = invited(world()).secret
        as_new_person(secret)
        with pytest.raises(LinkSpent, match="no longer works"):
            as_new_person(secret, username="second")
        assert not User.objects.filter(username="second").exists()

    def test_the_slower_of_two_who_follow_it_at_once_gets_nothing(self, monkeypatch):
        made = invited(world())
        monkeypatch.setattr(people, "find_invitation", lambda secret: made.invitation)
        as_new_person(made.secret)
        with pytest.raises(LinkSpent, match="used a moment ago"):
            as_new_person(made.secret, username="second")
        assert not User.objects.filter(username="second").exists()

    @pytest.mark.parametrize("how", ["withdrawn", "run out", "invented"])
    def test_the_refusal_does_not_tell_why(self, how):
        made = invited(world())
        secret = made.secret
        if how == "withdrawn":
            people.withdraw(invitation=made.invitation, by=made.invitation.created_by)
        elif how == "run out":
            Invitation.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
        else:
            secret = "not-a-secret-that-anybody-made"
        with pytest.raises(LinkSpent) as refused:
            people.find_invitation(secret)
        assert str(refused.value) == (
            "This link no longer works. Ask the person who sent it for a new one."
        )

    def test_it_ends_after_seven_days(self):
        left = invited(world()).invitation.expires_at - timezone.now()
        assert timedelta(days=6, hours=23) < left <= timedelta(days=7)

    def test_a_used_one_cannot_be_withdrawn_any_more(self):
        made = invited(world())
        as_new_person(made.secret)
        people.withdraw(invitation=made.invitation, by=made.invitation.created_by)
        assert not Invitation.objects.get(pk=made.invitation.pk).withdrawn

    def test_a_name_that_was_taken_meanwhile_leaves_the_link_open(self):
        here = world()
        secret = invited(here).secret
        with pytest.raises(NameTaken, match="The user name tomas is taken"):
            as_new_person(secret, username="tomas")
        assert people.find_invitation(secret).used_at is None

    def test_somebody_with_an_account_keeps_it(self):
        here = world()
        people.accept(secret=invited(here, Role.MANAGER).secret, user=here.tomas)
        assert {row.role for row in access.memberships(here.tomas)} == {
            "technician",
            "laboratory manager",
        }

    def test_it_brings_back_a_role_that_was_stopped(self):
        here = world()
        roles.stop(membership=here.tomas.memberships.get(), by=here.mona)
        people.accept(secret=invited(here).secret, user=here.tomas)
        assert here.tomas.memberships.get().active


class TestOffice:
    def test_a_new_dentist_opens_the_office_and_it_is_linked(self):
        here = world()
        made = invited(here, Role.FRONT_DESK, opens_office=True)
        user = as_new_person(
            made.secret,
            licence_number="D-1",
            office_name="Mill Pond Office",
            office_address="2 Mill Pond",
            notation=Notation.UNIVERSAL,
            paper_size=PaperSize.LETTER,
        )
        office = Organisation.objects.get(name="Mill Pond Office")
        assert (office.kind, office.notation, office.paper_size) == (
            "office",
            "Universal",
            "Letter",
        )
        assert [(row.organisation, row.role) for row in access.memberships(user)] == [
            (office, "dentist")
        ]
        assert OfficeLink.objects.filter(office=office, laboratory=here.laboratory).exists()
        assert user.licence_number == "D-1"

    def test_a_dentist_links_the_office_that_is_there_already(self):
        here = world()
        made = people.invite(
            organisation=here.other_laboratory,
            role=Role.DENTIST,
            invited_name="Dora",
            by=here.mona,
            opens_office=True,
        )
        offices = Organisation.objects.count()
        people.accept(secret=made.secret, user=here.dora, office=here.office)
        assert OfficeLink.objects.filter(
            office=here.office, laboratory=here.other_laboratory, active=True
        ).exists()
        assert Organisation.objects.count() == offices
        assert here.dora.memberships.count() == 1

    def test_an_ended_link_is_taken_up_again(self):
        here = world()
        link = OfficeLink.objects.get(office=here.office)
        people.end_link(link=link, by=here.mona)
        link.refresh_from_db()
        assert not link.active
        made = invited(here, opens_office=True)
        people.accept(secret=made.secret, user=here.dora, office=here.office)
        link.refresh_from_db()
        assert link.active


class TestInCharge:
    def test_a_manager_hands_out_the_roles_of_a_laboratory(self):
        here = world()
        assert people.roles_to_invite(here.mona, here.laboratory) == (
            Role.FRONT_DESK,
            Role.TECHNICIAN,
            Role.MANAGER,
        )

    def test_a_dentist_hands_out_the_roles_of_an_office(self):
        here = world()
        assert people.roles_to_invite(here.dora, here.office) == (Role.DENTIST, Role.FRONT_DESK)

    def test_nobody_else_hands_out_anything(self):
        here = world()
        for user in (here.tomas, here.lena, here.dora, here.farah, here.olga):
            assert people.roles_to_invite(user, here.laboratory) == ()
        for user in (here.farah, here.olga, here.mona):
            assert people.roles_to_invite(user, here.office) == ()

    def test_in_a_house_that_is_both_each_hands_out_their_own_side(self):
        both = OrganisationFactory(kind=OrganisationKind.BOTH)
        manager = member("Manu", both, Role.MANAGER)
        dentist = member("Dina", both, Role.DENTIST)
        assert Role.DENTIST not in people.roles_to_invite(manager, both)
        assert Role.MANAGER not in people.roles_to_invite(dentist, both)

    def test_only_a_laboratorys_manager_links_offices(self):
        here = world()
        assert people.may_link(here.mona, here.laboratory)
        assert not people.may_link(here.tomas, here.laboratory)
        assert not people.may_link(here.dora, here.office)

    def test_whoever_may_send_a_link_may_withdraw_it(self):
        here = world()
        into = invited(here).invitation
        office = invited(here, opens_office=True).invitation
        assert people.may_withdraw(here.mona, into)
        assert people.may_withdraw(here.mona, office)
        assert not people.may_withdraw(here.tomas, into)
        assert not people.may_withdraw(here.dora, office)

    def test_offices_and_laboratories_of_a_person(self):
        here = world()
        assert people.offices(here.farah) == [here.office]
        assert people.laboratories(here.farah) == []
        assert people.laboratories(here.lena) == [here.laboratory]


def test_coming_and_going_is_logged_by_numbers_and_never_by_names(caplog):
    here = world()
    with caplog.at_level(logging.INFO, logger="labcases.domain.people"):
        user = as_new_person(invited(here).secret)
    assert [record.getMessage() for record in caplog.records] == [
        f"person {user.pk} joined organisation {here.laboratory.pk} as technician",
    ]


def test_an_organisation_changes_what_stands_on_its_papers():
    here = world()
    people.change_organisation(
        organisation=here.office,
        name="Ferry Street Dental Office",
        address="9 Ferry Street",
        notation=Notation.UNIVERSAL,
        paper_size=PaperSize.LETTER,
        by=here.dora,
    )
    here.office.refresh_from_db()
    assert (here.office.name, here.office.notation, here.office.paper_size) == (
        "Ferry Street Dental Office",
        "Universal",
        "Letter",
    )
