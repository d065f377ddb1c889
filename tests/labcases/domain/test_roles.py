"""Roles of a person: given, taken, and the last one in charge who stays."""

import logging

import pytest

from labcases.domain import access, roles
from labcases.domain.roles import LastInCharge
from labcases.enums import Role
from labcases.models import HouseEntry
from tests.factories import member, world

pytestmark = pytest.mark.django_db

OF_LABORATORY = (Role.TECHNICIAN, Role.FRONT_DESK, Role.MANAGER)


def change(here, person, *wanted, among=OF_LABORATORY):
    return roles.change(
        person=person, organisation=here.laboratory, wanted=wanted, among=among, by=here.mona
    )


def last_entry():
    row = HouseEntry.objects.first()
    return row.by.full_name, row.act, row.part, row.changes


class TestChange:
    def test_a_technician_becomes_a_manager_at_once_and_it_is_written_down(self):
        here = world()
        change(here, here.tomas, Role.TECHNICIAN, Role.MANAGER)
        assert {row.role for row in access.memberships(here.tomas)} == {
            "technician",
            "laboratory manager",
        }
        assert last_entry() == (
            "Mona Ridley",
            "changed",
            "people",
            {"Tomas Abelard": ["technician", "technician, laboratory manager"]},
        )

    def test_what_others_hand_out_stays(self):
        here = world()
        change(here, here.tomas, Role.FRONT_DESK, among=(Role.FRONT_DESK,))
        assert {row.role for row in access.memberships(here.tomas)} == {"technician", "front desk"}

    def test_nothing_changed_writes_nothing(self):
        here = world()
        change(here, here.tomas, Role.TECHNICIAN)
        assert not HouseEntry.objects.exists()

    def test_a_role_that_was_stopped_comes_back_without_a_second_row(self):
        here = world()
        change(here, here.tomas, Role.FRONT_DESK)
        change(here, here.tomas, Role.TECHNICIAN)
        rows = here.tomas.memberships.order_by("role").values_list("role", "active")
        assert list(rows) == [("front desk", False), ("technician", True)]

    def test_a_person_without_a_role_is_stopped(self):
        here = world()
        change(here, here.tomas)
        assert access.memberships(here.tomas) == []
        assert last_entry()[1:] == ("stopped", "people", {"Tomas Abelard": ["technician", ""]})

    def test_the_last_manager_does_not_demote_themself_and_nothing_is_half_done(self):
        here = world()
        with pytest.raises(LastInCharge, match="is the last laboratory manager"):
            change(here, here.mona, Role.TECHNICIAN)
        assert {row.role for row in access.memberships(here.mona)} == {"laboratory manager"}


class TestStop:
    def test_it_counts_at_once(self):
        here = world()
        roles.stop(membership=here.tomas.memberships.get(), by=here.mona)
        assert access.memberships(here.tomas) == []

    @pytest.mark.parametrize(
        ("name", "words"),
        [
            ("mona", "Mona Ridley is the last laboratory manager of Tarn Lane Laboratory."),
            ("dora", "Dora Winsley is the last dentist of Ferry Street Office."),
        ],
    )
    def test_the_last_who_can_invite_stays(self, name, words):
        here = world()
        user = getattr(here, name)
        with pytest.raises(LastInCharge) as refused:
            roles.stop(membership=user.memberships.get(), by=user)
        assert words in str(refused.value)
        assert user.memberships.get().active

    def test_an_account_that_is_closed_does_not_count_as_another_manager(self):
        here = world()
        member("Gone Manager", here.laboratory, Role.MANAGER, is_active=False)
        with pytest.raises(LastInCharge):
            roles.stop(membership=here.mona.memberships.get(), by=here.mona)

    def test_one_of_two_managers_may_go(self):
        here = world()
        member("Second Manager", here.laboratory, Role.MANAGER)
        roles.stop(membership=here.mona.memberships.get(), by=here.mona)
        assert access.memberships(here.mona) == []


def test_it_is_logged_by_numbers_and_never_by_names(caplog):
    here = world()
    with caplog.at_level(logging.INFO, logger="labcases.domain.roles"):
        roles.stop(membership=here.tomas.memberships.get(), by=here.mona)
    assert [record.getMessage() for record in caplog.records] == [
        f"person {here.mona.pk} changed the roles of {here.tomas.pk} in {here.laboratory.pk}"
    ]
