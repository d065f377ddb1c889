"""People and organisations: each role, link and invitation once."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db.models import ProtectedError
from django.utils import timezone

from labcases.enums import OrganisationKind, Role
from labcases.models import DemoMark, Invitation, Membership, OfficeLink, Organisation, User
from tests.labcases.models.limits import assert_held, second_row_refused, stored

pytestmark = pytest.mark.django_db


def test_a_role_a_link_and_a_secret_stand_once(cast):
    second_row_refused(
        Membership, user=cast.tomas, organisation=cast.laboratory, role=Role.TECHNICIAN
    )
    second_row_refused(OfficeLink, office=cast.office, laboratory=cast.laboratory)
    made = {
        "organisation": cast.laboratory,
        "role": Role.TECHNICIAN,
        "invited_name": "Ira Bell",
        "secret_digest": "0" * 64,
        "created_by": cast.mona,
        "expires_at": timezone.now() + timedelta(days=7),
    }
    invitation = Invitation.objects.create(**made)
    second_row_refused(Invitation, **made)

    assert str(invitation) == "Ira Bell, technician, Tarn Lane Laboratory"
    Membership.objects.create(user=cast.tomas, organisation=cast.laboratory, role=Role.MANAGER)
    Membership.objects.create(user=cast.tomas, organisation=cast.office, role=Role.TECHNICIAN)


def test_a_user_name_stands_once(cast):
    second_row_refused(User, username="dora", full_name="Dora Another")


@pytest.mark.parametrize(
    ("name", "initials"),
    [("Dora Winsley", "DW"), ("Anna van der Berg", "AVD"), ("Mona", "M"), ("", "")],
)
def test_initials_come_from_the_first_three_words(name, initials):
    assert User(full_name=name).initials == initials


def test_a_person_is_called_by_their_full_name():
    user = User(username="dora", full_name="Dora Winsley")

    assert (str(user), user.get_full_name(), user.get_short_name()) == ("Dora Winsley",) * 3
    assert str(User(username="dora")) == "dora"


@pytest.mark.parametrize(
    ("kind", "office", "laboratory"),
    [("office", True, False), ("laboratory", False, True), ("both", True, True)],
)
def test_an_organisation_is_office_laboratory_or_both(kind, office, laboratory):
    row = Organisation(name="House", kind=OrganisationKind(kind))

    assert (row.is_office, row.is_laboratory) == (office, laboratory)
    assert (row.notation, row.paper_size) == ("ISO 3950", "A4")


def test_people_and_organisations_are_never_erased_while_something_hangs_on_them(cast):
    for row in (cast.dora, cast.office, cast.laboratory):
        with pytest.raises(ProtectedError):
            row.delete()


def test_rows_say_what_they_are(cast):
    assert str(Membership.objects.get(user=cast.lena)) == (
        "Lena Marsh, front desk, Tarn Lane Laboratory"
    )
    assert str(OfficeLink.objects.get(office=cast.office)) == (
        "Ferry Street Office sends to Tarn Lane Laboratory"
    )
    mark = DemoMark.objects.create(usernames=["dora"])
    assert str(mark).startswith("Demo loaded 20")


def test_a_laboratory_verifies_by_limits_that_the_database_keeps_sensible(cast):
    assert_held(cast.laboratory, "records_agree_mm", "0.05", "1")
    assert_held(cast.laboratory, "base_min_mm", "0", "10")
    cast.laboratory.label_width_mm = cast.laboratory.label_height_mm = 50
    cast.laboratory.save()
    for edge in ("label_width_mm", "label_height_mm"):
        assert [stored(cast.laboratory, edge, mm) for mm in (24, 25, 150, 151, None)] == [
            *(False, True, True, False, False)
        ]
    assert [stored(cast.laboratory, "foil_um", um) for um in (4, 5, 40, 41)] == [
        *(False, True, True, False)
    ]
