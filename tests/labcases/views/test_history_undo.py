"""Undo on the pages: the bar after an act, and the buttons of the history."""

from __future__ import annotations

import pytest
from django.urls import reverse

from labcases.domain import case as cases
from labcases.domain import history
from labcases.enums import Stage
from labcases.models import Case
from tests.factories import world
from tests.labcases.domain.undone import hold, note, tray

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.ACCEPTED)
    return walk


def post(client, user, case, follow=True, **data):
    client.force_login(user)
    return client.post(reverse("history_undo", args=[case.code]), data, follow=follow)


def read(client, user, case, query=""):
    client.force_login(user)
    return client.get(reverse("history", args=[case.code]) + query).content.decode()


def last(case):
    return case.history.last()


class TestButtons:
    def test_an_own_act_has_a_button_and_somebody_else_s_has_none(self, client, here, walk):
        tray(walk)
        number = last(walk.case).sequence
        assert f"Undo entry {number}<" in read(client, here.tomas, walk.case)
        assert f"Undo entry {number}<" in read(client, here.mona, walk.case)
        for other in (here.dora, here.farah, here.lena):
            assert f"Undo entry {number}<" not in read(client, other, walk.case)

    def test_why_there_is_none_stands_behind_a_word(self, client, here, walk):
        text = read(client, here.dora, walk.case)
        assert "<summary>Not undone</summary><p>A signature stands. Make a revision.</p>" in text
        assert "<p>A case stays. Cancel it, with a reason.</p>" in text

    def test_it_is_undone_and_says_so(self, client, here, walk):
        tray(walk)
        number = last(walk.case).sequence
        answer = post(client, here.tomas, walk.case, entry=number)
        text = answer.content.decode()
        said = (
            f"Tomas Abelard (technician) undid entry {number} (changed, the case): tray number "
            "taken out, was T-7."
        )
        assert answer.redirect_chain[-1][0] == reverse("history", args=[walk.case.code])
        assert f"Undone. {said}" in text
        assert walk.reload().tray_number == ""
        assert "<p>It is undone already.</p>" in text

    def test_a_refusal_is_told_on_the_page(self, client, here, walk):
        tray(walk)
        number = last(walk.case).sequence
        case = walk.reload()
        cases.set_tray_number(case=case, version=case.version, tray_number="T-9", by=here.mona)
        answer = post(client, here.tomas, walk.case, entry=number)
        assert answer.status_code == 409
        assert (
            "<h2>Mona Ridley changed it since: tray number is now T-9. Look at it, and change it "
            "by hand.</h2>"
        ) in answer.content.decode()
        assert walk.reload().tray_number == "T-9"

    def test_an_act_of_somebody_else_is_forbidden(self, client, here, walk):
        tray(walk)
        answer = post(client, here.dora, walk.case, entry=last(walk.case).sequence)
        assert answer.status_code == 403

    @pytest.mark.parametrize("entry", ["", "x", "-1"])
    def test_no_number_is_refused_in_words(self, client, here, walk, entry):
        answer = post(client, here.tomas, walk.case, entry=entry)
        assert answer.status_code == 422
        assert "No entry is named. Choose one in the history of the case." in (
            answer.content.decode()
        )

    @pytest.mark.parametrize(
        "place", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:alert(1)", ""]
    )
    def test_it_leads_to_no_other_site(self, client, here, walk, place):
        tray(walk)
        number = last(walk.case).sequence
        answer = post(client, here.tomas, walk.case, follow=False, entry=number, next=place)
        assert answer.headers["Location"] == reverse("history", args=[walk.case.code])


class TestBar:
    def save_tray(self, client, here, case):
        client.force_login(here.tomas)
        return client.post(
            reverse("case_tray", args=[case.code]),
            {"tray_number": "T-7", "version": Case.objects.get(pk=case.pk).version},
            follow=True,
        )

    def test_after_an_act_the_next_page_has_a_button_once(self, client, here, walk):
        text = self.save_tray(client, here, walk.case).content.decode()
        number = last(walk.case).sequence
        assert f'<input type="hidden" name="entry" value="{number}">' in text
        assert '<button type="submit" class="button">Undo</button>' in text
        page = reverse("case", args=[walk.case.code])
        assert "undo-bar" not in client.get(page).content.decode()

    def test_the_button_undoes_it_and_comes_back_to_the_page(self, client, here, walk):
        self.save_tray(client, here, walk.case)
        page = reverse("case", args=[walk.case.code])
        answer = post(client, here.tomas, walk.case, entry=last(walk.case).sequence, next=page)
        assert answer.redirect_chain == [(page, 302)]
        assert "Undone. Tomas Abelard (technician) undid entry" in answer.content.decode()
        assert "undo-bar" not in answer.content.decode()
        assert walk.reload().tray_number == ""

    def test_what_cannot_be_undone_has_no_bar(self, client, here, walk):
        client.force_login(here.tomas)
        answer = client.post(
            reverse("check", args=[walk.case.code]), {"kind": "height"}, follow=True
        )
        assert "undo-bar" not in answer.content.decode()


class TestFilters:
    def test_a_part_and_a_person_stand_in_the_address(self, client, here, walk):
        tray(walk)
        note(walk)
        hold(walk)
        text = read(client, here.tomas, walk.case, f"?part=case&by={here.tomas.pk}")
        assert "tray number T-7" in text
        assert "put the case on hold" in text
        assert "logged in the set-up" not in text
        assert "opened the case" not in text
        assert '<option value="case" selected>Case</option>' in text
        assert f'<option value="{here.tomas.pk}" selected>Tomas Abelard</option>' in text
        assert "Clear filters" in text

    def test_sites_are_one_part(self, client, here):
        walk = here.walk()
        walk.to(Stage.SET_UP)
        text = read(client, here.tomas, walk.case, "?part=sites")
        assert "entered site 16" in text
        assert "entered the mounting" not in text

    def test_pages_keep_the_filter(self, client, here):
        case = here.walk().case
        for number in range(60):
            history.write(case=case, by=here.tomas, act="noted", part=f"part {number % 2}")
            history.write(case=case, by=here.tomas, act="noted", part="part 1")
        text = read(client, here.tomas, case, "?part=part+1")
        assert 'href="?part=part+1&amp;before=' in text
        assert "the part 0" not in text

    def test_a_part_and_a_person_that_do_not_meet_offer_to_clear(self, client, here, walk):
        tray(walk)
        text = read(client, here.tomas, walk.case, f"?part=prescription&by={here.tomas.pk}")
        assert "No entry is of this part and this person." in text
        assert "Clear filters" in text

    @pytest.mark.parametrize("query", ["?part=nothing", "?by=abc", "?by=999999", "?part=&by="])
    def test_a_filter_that_is_none_is_passed_over(self, client, here, walk, query):
        assert "opened the case" in read(client, here.dora, walk.case, query)

    def test_each_entry_says_its_number(self, client, here, walk):
        text = read(client, here.dora, walk.case)
        first = walk.case.history.first()
        assert f'<span class="quiet">Entry {first.sequence}</span>' in text


def test_the_page_of_a_long_history_asks_few_questions(
    client, here, walk, django_assert_num_queries
):
    url = reverse("history", args=[walk.case.code])
    client.force_login(here.tomas)
    client.get(url)
    for _ in range(30):
        note(walk)
    with django_assert_num_queries(36):
        client.get(url)
