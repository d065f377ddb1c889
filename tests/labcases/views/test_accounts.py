"""Coming in and going out, as people meet it."""

import pytest
from django.urls import reverse

from labcases.domain import access, people
from labcases.enums import Role
from labcases.models import Invitation, OfficeLink, Organisation, User
from tests.factories import PASSWORD, world

pytestmark = pytest.mark.django_db

LOGIN = "/login/"
NEW = {
    "full_name": "Nils Orme",
    "username": "nils",
    "password": "a kettle on the window sill",
    "password_again": "a kettle on the window sill",
}
OFFICE = {
    "office_name": "Mill Pond Office",
    "office_address": "2 Mill Pond",
    "notation": "Universal",
    "paper_size": "Letter",
}


def text(answer):
    return answer.content.decode()


def said(client, answer):
    return [str(message) for message in client.get(answer.url, follow=True).context["messages"]]


def link(here, role=Role.TECHNICIAN, **more):
    made = people.invite(
        organisation=here.laboratory, role=role, invited_name="Nils", by=here.mona, **more
    )
    return reverse("join", args=[made.secret])


class TestLogin:
    def test_it_leads_to_the_persons_own_place(self, client):
        world()
        answer = client.post(LOGIN, {"username": "tomas", "password": PASSWORD}, follow=True)
        assert answer.redirect_chain == [("/", 302), ("/bench/", 302)]

    def test_it_leads_back_to_the_page_that_was_asked_for(self, client):
        world()
        asked = client.get("/cases/")
        assert asked.url == "/login/?next=/cases/"
        answer = client.post(asked.url, {"username": "farah", "password": PASSWORD})
        assert answer.url == "/cases/"

    def test_it_leads_to_no_other_site(self, client):
        world()
        answer = client.post(
            "/login/?next=https://elsewhere.example/", {"username": "farah", "password": PASSWORD}
        )
        assert answer.url == "/"

    def test_password_managers_and_pasting_work(self, client):
        page = text(client.get(LOGIN))
        assert 'autocomplete="username"' in page
        assert 'autocomplete="current-password"' in page
        assert "onpaste" not in page

    @pytest.mark.parametrize("username", ["tomas", "nobody-of-that-name"])
    def test_a_refusal_does_not_tell_whether_the_account_exists(self, client, username):
        world()
        answer = client.post(LOGIN, {"username": username, "password": "not the right one"})
        assert answer.status_code == 422
        assert "User name and password belong to no account." in text(answer)
        assert f'value="{username}"' in text(answer)
        assert "<title>Error: Log in - Case tracker</title>" in text(answer)

    def test_empty_fields_are_named(self, client):
        page = text(client.post(LOGIN, {}))
        assert "Enter your user name." in page
        assert "Enter your password." in page

    def test_ten_failures_pause_the_person_with_a_page_in_words(self, client, settings):
        settings.AXES_ENABLED = True
        world()
        wrong = {"username": "tomas", "password": "not the right one"}
        answers = [client.post(LOGIN, wrong) for _ in range(10)]
        assert [answer.status_code for answer in answers] == [422] * 9 + [429]
        assert "Wait 15 minutes, then sign in again." in text(answers[-1])
        right = client.post(LOGIN, {"username": "tomas", "password": PASSWORD})
        assert right.status_code == 429
        other = client.post(LOGIN, {"username": "farah", "password": PASSWORD})
        assert other.status_code == 302


class TestLogout:
    def test_it_ends_the_session(self, client):
        client.force_login(world().tomas)
        assert client.post("/logout/").url == "/login/"
        assert client.get("/bench/").url == "/login/?next=/bench/"

    def test_a_link_cannot_log_anybody_out(self, client):
        client.force_login(world().tomas)
        assert client.get("/logout/").status_code == 405
        assert client.get("/bench/").status_code == 200


class TestPassword:
    def change(self, client, old=PASSWORD, new="twelve jars upon a shelf", again=None):
        return client.post(
            "/password/",
            {"old_password": old, "new_password1": new, "new_password2": again or new},
        )

    def test_the_new_one_counts_and_the_session_goes_on(self, client):
        here = world()
        client.force_login(here.tomas)
        answer = self.change(client)
        assert said(client, answer) == ["The password is changed. Other places are signed out."]
        here.tomas.refresh_from_db()
        assert here.tomas.check_password("twelve jars upon a shelf")

    def test_other_sessions_end(self, client, django_user_model):
        here = world()
        elsewhere = type(client)()
        elsewhere.force_login(here.tomas)
        client.force_login(here.tomas)
        self.change(client)
        assert elsewhere.get("/bench/").status_code == 302

    @pytest.mark.parametrize(
        ("given", "words"),
        [
            ({"old": "something else here"}, "That is not your present password."),
            ({"new": "fourteen chars"}, "It must contain at least 15 characters."),
            (
                {"again": "twelve jars on the floor"},
                "The two new passwords differ. Enter the same one twice.",
            ),
        ],
    )
    def test_a_refusal_says_what_to_do_and_changes_nothing(self, client, given, words):
        here = world()
        client.force_login(here.tomas)
        answer = self.change(client, **given)
        assert answer.status_code == 422
        assert words in text(answer)
        here.tomas.refresh_from_db()
        assert here.tomas.check_password(PASSWORD)


class TestJoin:
    def test_the_page_says_who_invites_whom_into_what(self, client):
        page = text(client.get(link(world())))
        assert "Mona Ridley invites Nils to Tarn Lane Laboratory, as technician." in page
        assert "Name of the office" not in page
        assert "Licence number" not in page

    def test_a_new_person_comes_in_and_is_logged_in(self, client):
        here = world()
        answer = client.post(link(here), NEW)
        assert answer.url == "/"
        assert said(client, answer) == ["You have joined Tarn Lane Laboratory as technician."]
        user = User.objects.get(username="nils")
        assert user.check_password(NEW["password"])
        assert [row.role for row in access.memberships(user)] == ["technician"]

    @pytest.mark.parametrize(
        ("given", "words"),
        [
            ({"password": "short", "password_again": "short"}, "at least 15 characters"),
            (
                {"password": "123456789987654321", "password_again": "123456789987654321"},
                "This password is too common.",
            ),
            ({"password_again": "something else"}, "The two passwords differ."),
            ({"username": "TOMAS"}, "The user name TOMAS is taken. Choose another."),
            ({"username": "nils orme"}, "A user name holds letters, digits"),
            ({"full_name": ""}, "Enter your name."),
        ],
    )
    def test_a_refusal_says_what_to_do_and_the_link_still_works(self, client, given, words):
        url = link(world())
        answer = client.post(url, {**NEW, **given})
        assert answer.status_code == 422
        assert words in text(answer)
        assert not User.objects.filter(username="nils").exists()
        assert client.post(url, NEW).status_code == 302

    def test_no_rule_on_composition(self, client):
        plain = "only small letters and blanks"
        answer = client.post(link(world()), {**NEW, "password": plain, "password_again": plain})
        assert answer.status_code == 302

    def test_a_name_that_was_taken_meanwhile_is_refused_in_words(self, client, monkeypatch):
        here = world()
        url = link(here)

        def too_late(**_given):
            raise people.NameTaken("The user name nils is taken. Choose another.")

        monkeypatch.setattr(people, "accept", too_late)
        answer = client.post(url, NEW)
        assert answer.status_code == 422
        assert "The user name nils is taken. Choose another." in text(answer)

    def test_somebody_logged_in_simply_accepts(self, client):
        here = world()
        client.force_login(here.tomas)
        url = link(here, Role.MANAGER)
        page = text(client.get(url))
        assert "You are logged in as Tomas Abelard" in page
        assert "Password" not in page
        client.post(url)
        assert {row.role for row in access.memberships(here.tomas)} == {
            "technician",
            "laboratory manager",
        }

    @pytest.mark.parametrize("how", ["used", "withdrawn", "invented"])
    def test_a_spent_link_says_so_and_not_why(self, client, how):
        here = world()
        url = link(here)
        if how == "used":
            type(client)().post(url, NEW)
        elif how == "withdrawn":
            people.withdraw(invitation=Invitation.objects.get(), by=here.mona)
        else:
            url = reverse("join", args=["nobody-made-this"])
        answers = [client.get(url), client.post(url, {**NEW, "username": "second"})]
        for answer in answers:
            assert answer.status_code == 410
            assert "This link no longer works" in text(answer)
            assert "withdrawn" in text(answer)
        assert not User.objects.filter(username="second").exists()


class TestOpenAnOffice:
    def test_the_dentist_names_the_office_and_it_is_linked(self, client):
        here = world()
        url = link(here, opens_office=True)
        page = text(client.get(url))
        assert "Name of the office" in page
        assert "Licence number" in page
        answer = client.post(url, {**NEW, **OFFICE, "licence_number": "D-4"})
        assert said(client, answer) == [
            "The office is linked to Tarn Lane Laboratory. Invite your colleagues next."
        ]
        office = Organisation.objects.get(name="Mill Pond Office")
        assert (office.address, office.notation, office.paper_size) == (
            "2 Mill Pond",
            "Universal",
            "Letter",
        )
        assert OfficeLink.objects.filter(office=office, laboratory=here.laboratory).exists()
        assert User.objects.get(username="nils").licence_number == "D-4"

    def test_without_a_name_no_office_is_opened(self, client):
        url = link(world(), opens_office=True)
        answer = client.post(url, {**NEW, **OFFICE, "office_name": ""})
        assert answer.status_code == 422
        assert "Enter the name of the office." in text(answer)
        assert not User.objects.filter(username="nils").exists()

    def test_a_dentist_links_the_office_that_exists(self, client):
        here = world()
        made = people.invite(
            organisation=here.other_laboratory,
            role=Role.DENTIST,
            invited_name="Dora",
            by=here.mona,
            opens_office=True,
        )
        url = reverse("join", args=[made.secret])
        client.force_login(here.dora)
        page = text(client.get(url))
        assert "Ferry Street Office" in page
        assert "Open a new office, named below" in page
        client.post(url, {"office": here.office.pk, "notation": "ISO 3950", "paper_size": "A4"})
        assert OfficeLink.objects.filter(
            office=here.office, laboratory=here.other_laboratory
        ).exists()

    @pytest.mark.parametrize(
        ("name", "words"),
        [
            ("dora", "Choose an office of your own, or name a new one."),
            ("farah", "Enter the name of the office."),
        ],
    )
    def test_nobody_links_the_office_of_others(self, client, name, words):
        here = world()
        OfficeLink.objects.all().delete()
        client.force_login(getattr(here, name))
        answer = client.post(link(here, opens_office=True), {"office": here.other_office.pk})
        assert answer.status_code == 422
        assert words in text(answer)
        assert not OfficeLink.objects.exists()
