"""The page of an organisation: read by all inside, changed by those in charge."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from labcases.domain import access, people, roles
from labcases.enums import Role
from labcases.models import Invitation, OfficeLink
from tests.factories import member, world

pytestmark = pytest.mark.django_db


def text(answer):
    return answer.content.decode()


def page(client, user, name, pk):
    client.force_login(user)
    return client.get(reverse(name, args=[pk]))


def post(client, user, name, pk, /, **given):
    client.force_login(user)
    return client.post(reverse(name, args=[pk]), given)


class TestReading:
    def test_a_manager_sees_people_offices_and_what_can_be_changed(self, client):
        here = world()
        shown = text(page(client, here.mona, "organisation", here.laboratory.pk))
        for words in ("Tomas Abelard", "Technician", "Ferry Street Office", "Hollins Office"):
            assert words in shown
        for name in ("invite", "link_office"):
            assert f'href="{reverse(name, args=[here.laboratory.pk])}"' in shown

    def test_the_others_inside_read_it_without_any_button(self, client):
        here = world()
        for user, house in ((here.tomas, here.laboratory), (here.farah, here.office)):
            answer = page(client, user, "organisation", house.pk)
            assert answer.status_code == 200
            for words in ("/invite/", "/link-office/", "/stop/", "/end/", "/change/"):
                assert words not in text(answer)

    def test_an_offices_dentist_invites_but_links_nothing(self, client):
        here = world()
        shown = text(page(client, here.dora, "organisation", here.office.pk))
        assert f'href="{reverse("invite", args=[here.office.pk])}"' in shown
        assert "Tarn Lane Laboratory" in shown
        assert "/link-office/" not in shown

    @pytest.mark.parametrize("name", ["organisation", "invite", "link_office"])
    def test_for_everybody_else_it_is_not_there(self, client, name):
        here = world()
        for user in (here.olga, here.dora, here.farah):
            assert page(client, user, name, here.laboratory.pk).status_code == 404
        assert page(client, here.olga, name, 987654).status_code == 404

    def test_a_stopped_member_is_gone_from_the_page_and_does_not_see_it(self, client):
        here = world()
        roles.stop(membership=here.tomas.memberships.get(), by=here.mona)
        assert "Tomas Abelard" not in text(
            page(client, here.mona, "organisation", here.laboratory.pk)
        )
        assert page(client, here.tomas, "organisation", here.laboratory.pk).status_code == 404


class TestInvite:
    def test_the_link_is_shown_once_and_works(self, client):
        here = world()
        answer = post(
            client, here.mona, "invite", here.laboratory.pk, invited_name="Nils", role="technician"
        )
        assert answer.status_code == 201
        (shown,) = re.findall(r'value="(http://testserver/join/[^"]+/)"', text(answer))
        secret = shown.split("/")[-2]
        assert people.find_invitation(secret).invited_name == "Nils"
        later = text(client.get(reverse("organisation", args=[here.laboratory.pk])))
        assert "Nils" in later
        assert secret not in later

    def test_a_manager_cannot_hand_out_the_roles_of_an_office(self, client):
        here = world()
        shown = text(page(client, here.mona, "invite", here.laboratory.pk))
        assert "Technician" in shown
        assert "Dentist" not in shown
        answer = post(
            client, here.mona, "invite", here.laboratory.pk, invited_name="N", role="dentist"
        )
        assert answer.status_code == 422
        assert not Invitation.objects.exists()

    def test_an_empty_form_is_refused_in_words(self, client):
        here = world()
        answer = post(client, here.dora, "invite", here.office.pk)
        assert answer.status_code == 422
        assert "Enter whom you invite." in text(answer)
        assert "Choose the role that the person has." in text(answer)

    def test_a_technician_invites_nobody(self, client):
        here = world()
        assert page(client, here.tomas, "invite", here.laboratory.pk).status_code == 403
        answer = post(
            client, here.tomas, "invite", here.laboratory.pk, invited_name="N", role="technician"
        )
        assert answer.status_code == 403
        assert not Invitation.objects.exists()

    def test_an_office_is_linked_by_a_link_for_its_dentist(self, client):
        here = world()
        answer = post(client, here.mona, "link_office", here.laboratory.pk, invited_name="Ivo Lund")
        assert answer.status_code == 201
        row = Invitation.objects.get()
        assert (row.opens_office, row.role, row.invited_name) == (True, "dentist", "Ivo Lund")

    def test_a_dentist_links_no_office(self, client):
        here = world()
        assert page(client, here.dora, "link_office", here.office.pk).status_code == 403


class TestWithdraw:
    def invitation(self, here, **more):
        return people.invite(
            organisation=here.laboratory,
            role=Role.TECHNICIAN,
            invited_name="Nils",
            by=here.mona,
            **more,
        )

    def test_it_asks_first_and_then_the_link_is_dead(self, client):
        here = world()
        made = self.invitation(here)
        asked = page(client, here.mona, "invitation_withdraw", made.invitation.pk)
        assert "The invitation for Nils as technician." in text(asked)
        people.find_invitation(made.secret)
        post(client, here.mona, "invitation_withdraw", made.invitation.pk)
        with pytest.raises(people.LinkSpent):
            people.find_invitation(made.secret)

    def test_only_for_those_who_may_invite(self, client):
        here = world()
        made = self.invitation(here)
        assert (
            post(client, here.tomas, "invitation_withdraw", made.invitation.pk).status_code == 403
        )
        assert post(client, here.dora, "invitation_withdraw", made.invitation.pk).status_code == 404
        people.find_invitation(made.secret)


class TestStop:
    def test_it_asks_first_and_counts_from_the_next_page_on(self, client):
        here = world()
        row = here.tomas.memberships.get()
        asked = text(page(client, here.mona, "membership_stop", row.pk))
        assert "Tomas Abelard is technician of Tarn Lane Laboratory." in asked
        assert access.memberships(here.tomas)
        answer = post(client, here.mona, "membership_stop", row.pk)
        assert answer.url == reverse("organisation", args=[here.laboratory.pk])
        assert access.memberships(here.tomas) == []

    def test_the_last_manager_is_told_why_not(self, client):
        here = world()
        row = here.mona.memberships.get()
        client.force_login(here.mona)
        answer = client.post(reverse("membership_stop", args=[row.pk]), follow=True)
        assert "Mona Ridley is the last laboratory manager" in text(answer)
        row.refresh_from_db()
        assert row.active

    def test_who_stops_the_own_role_lands_on_the_first_page(self, client):
        here = world()
        member("Second Manager", here.laboratory, Role.MANAGER)
        answer = post(client, here.mona, "membership_stop", here.mona.memberships.get().pk)
        assert answer.url == "/"
        assert "Ask the manager of your laboratory" in text(client.get("/"))

    def test_others_cannot(self, client):
        here = world()
        row = here.tomas.memberships.get()
        assert post(client, here.lena, "membership_stop", row.pk).status_code == 403
        assert post(client, here.dora, "membership_stop", row.pk).status_code == 404
        assert access.memberships(here.tomas)


class TestEndLink:
    def test_the_manager_ends_it_and_the_office_is_gone_from_the_list(self, client):
        here = world()
        row = OfficeLink.objects.get(office=here.office)
        assert "Cases under way go on" in text(page(client, here.mona, "link_end", row.pk))
        post(client, here.mona, "link_end", row.pk)
        row.refresh_from_db()
        assert not row.active
        shown = text(client.get(reverse("desk")))
        assert "Ferry Street Office can open no new case here." in shown

    def test_others_cannot(self, client):
        here = world()
        row = OfficeLink.objects.get(office=here.office)
        assert post(client, here.tomas, "link_end", row.pk).status_code == 403
        assert post(client, here.dora, "link_end", row.pk).status_code == 404
        row.refresh_from_db()
        assert row.active


class TestChange:
    GIVEN = {
        "name": "Tarn Lane Denture Laboratory",
        "address": "1 Tarn Lane",
        "notation": "Universal",
        "paper_size": "Letter",
        "records_agree_mm": "0,25",
        "foil_um": "12 µm",
    }

    def test_the_manager_changes_notation_and_paper(self, client):
        here = world()
        pk = here.laboratory.pk
        assert post(client, here.mona, "organisation_change", pk, **self.GIVEN).status_code == 302
        here.laboratory.refresh_from_db()
        assert (here.laboratory.name, here.laboratory.notation) == (
            "Tarn Lane Denture Laboratory",
            "Universal",
        )
        shown = text(page(client, here.tomas, "organisation", pk))
        assert (
            "Mountings are verified with foil of 12 µm, and records of centric relation agree "
            "within 0.25 mm." in shown
        )
        assert "Shade systems" not in shown

    def test_a_house_sets_its_least_base_and_takes_it_out_again(self, client):
        here = world()
        pk = here.laboratory.pk
        given = {**self.GIVEN, "base_min_mm": "1,8"}
        assert post(client, here.mona, "organisation_change", pk, **given).status_code == 302
        assert "Least base under a tooth: 1.8\N{NO-BREAK SPACE}mm." in text(
            page(client, here.tomas, "organisation", pk)
        )
        post(client, here.mona, "organisation_change", pk, **{**given, "base_min_mm": ""})
        here.laboratory.refresh_from_db()
        assert here.laboratory.base_min_mm is None

    @pytest.mark.parametrize(
        ("name", "typed", "words"),
        [
            ("base_min_mm", "10.1", "base under a tooth is 10.1 mm. Enter 0 to 10 mm"),
            ("records_agree_mm", "1.2", "agree within is 1.2 mm. Enter 0.05 to 1 mm."),
            ("records_agree_mm", "0.04", "agree within is 0.04 mm. Enter 0.05 to 1 mm."),
            ("foil_um", "80", "Foil that verifies a mounting is 80 µm. Enter 5 to 40 µm."),
            ("foil_um", "4", "Foil that verifies a mounting is 4 µm. Enter 5 to 40 µm."),
            ("foil_um", "", "Foil that verifies a mounting: enter a number."),
        ],
    )
    def test_a_limit_that_cannot_be_is_refused_in_words(self, client, name, typed, words):
        here = world()
        answer = post(
            *(client, here.mona, "organisation_change", here.laboratory.pk),
            **{**self.GIVEN, name: typed},
        )
        assert answer.status_code == 422
        assert words in text(answer)
        here.laboratory.refresh_from_db()
        assert (here.laboratory.records_agree_mm, here.laboratory.foil_um) == (Decimal("0.3"), 8)

    OFFICE = {"name": "Ferry", "address": "", "notation": "Universal", "paper_size": "A4"}

    def test_an_office_lists_its_shade_systems(self, client):
        here = world()
        pk = here.office.pk
        assert "so shade codes are not checked" in text(page(client, here.dora, "organisation", pk))
        listed = {"shade_systems": "Green box: 1, 2\nBlue box: a; b"}
        answer = post(client, here.dora, "organisation_change", pk, **self.OFFICE, **listed)
        assert answer.status_code == 302
        shown = text(page(client, here.farah, "organisation", pk))
        assert '<th scope="row">Green box</th><td>1, 2</td>' in shown
        assert '<th scope="row">Blue box</th><td>a, b</td>' in shown
        assert "Mountings are verified" not in shown

    def test_an_office_enters_its_telephone_and_a_text_of_its_own(self, client):
        here = world()
        pk = here.office.pk
        told = {"emergency_telephone": " 01632  960 177", "after_care": "Tonight\nSleep well."}
        answer = post(client, here.dora, "organisation_change", pk, **self.OFFICE, **told)
        assert answer.status_code == 302
        shown = text(page(client, here.farah, "organisation", pk))
        assert "Telephone for emergencies: 01632 960 177." in shown
        assert "The sheet carries the text of the office." in shown
        history = text(page(client, here.farah, "house_history", pk))
        assert "telephone for emergencies: 01632 960 100 → 01632 960 177" in history

    @pytest.mark.parametrize(
        ("told", "words"),
        [
            ({"emergency_telephone": "ring twice"}, "“ring twice” cannot be dialled."),
            ({"after_care": "Tonight"}, "Nothing stands below the heading “Tonight”."),
        ],
    )
    def test_what_no_sheet_can_carry_is_refused_and_stays_in_its_box(self, client, told, words):
        here = world()
        answer = post(
            *(client, here.dora, "organisation_change", here.office.pk), **self.OFFICE, **told
        )
        assert answer.status_code == 422
        assert words in text(answer)
        assert next(iter(told.values())) in text(answer)
        here.office.refresh_from_db()
        assert here.office.emergency_telephone == "01632 960 100"

    def test_lines_that_name_no_codes_are_refused_and_stay_in_the_box(self, client):
        here = world()
        listed = {"shade_systems": "Green box"}
        answer = post(
            *(client, here.dora, "organisation_change", here.office.pk), **self.OFFICE, **listed
        )
        assert answer.status_code == 422
        assert "Line 1, &quot;Green box&quot;, has no name or no codes." in text(answer)
        assert ">\nGreen box</textarea>" in text(answer)

    def test_a_nameless_one_is_refused(self, client):
        here = world()
        answer = post(
            client,
            here.mona,
            "organisation_change",
            here.laboratory.pk,
            **{**self.GIVEN, "name": ""},
        )
        assert answer.status_code == 422
        assert "Enter the name; it stands on papers." in text(answer)

    def test_others_cannot(self, client):
        here = world()
        pk = here.laboratory.pk
        assert post(client, here.tomas, "organisation_change", pk, **self.GIVEN).status_code == 403
        assert post(client, here.dora, "organisation_change", pk, **self.GIVEN).status_code == 404
