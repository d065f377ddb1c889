"""The try-in page for the dentist."""

import pytest
from django.urls import reverse

from labcases.enums import Route, Stage, TryInWish
from labcases.models import TryIn
from tests.factories import world
from tests.labcases.forms.test_tryin import NUMBERS, all_ok

pytestmark = pytest.mark.django_db

ALL_OK = {**NUMBERS, **all_ok()}


@pytest.fixture
def here():
    return world()


def get(client, user, case, name):
    client.force_login(user)
    return client.get(reverse(name, args=[case.code])).content.decode()


def post(client, user, case, name, **typed):
    client.force_login(user)
    return client.post(reverse(name, args=[case.code]), typed)


class TestTryIn:
    @pytest.fixture
    def case(self, here):
        return here.case_at(Stage.TRY_IN)

    def approve(self, client, user, case, **more):
        return post(
            client,
            user,
            case,
            "try_in",
            **{"outcome": "approved", "vertical_mm": "68", "version": 1, **ALL_OK, **more},
        )

    def test_the_dentist_answers_line_by_line(self, here, client, case):
        text = get(client, here.dora, case, "try_in")
        assert "The base is stable and does not rock" in text
        assert "Redo: A new jaw record is taken, and the casts are mounted by it" in text
        assert text.count('type="radio"') == 3 * 18 + 4
        assert "---------" not in text
        assert "common practice, no source" in text

    def test_a_verdict_is_stored_and_written_to_history_once(self, here, client, case):
        before = case.history.count()
        answer = self.approve(client, here.dora, case)
        assert answer.status_code == 302
        row = TryIn.objects.get()
        assert (row.outcome, row.decided_by, str(row.vertical_mm)) == (
            "approved",
            here.dora,
            "68.00",
        )
        assert row.answers["stable"] == "ok"
        assert case.history.count() == before + 1

    def test_a_recorded_try_in_is_read_by_everybody_with_what_was_not_ok(self, here, client, case):
        self.approve(
            client,
            here.dora,
            case,
            outcome="approved with changes",
            changes="24 longer",
            answer_width="change",
            words_width="26 in by 1 mm",
        )
        text = get(client, here.tomas, case, "try_in")
        assert "Try-in 1: approved with changes" in text
        assert "Changes: 24 longer" in text
        assert (
            "<li>Change: Arch width leaves room for cheeks and tongue: 26 in by 1 mm</li>" in text
        )
        assert "Freeway space 3 mm. 2 to 4 mm is usual." in text
        assert "Record the try-in" not in text

    def test_a_refused_approval_keeps_the_answers_and_links_to_the_lines(self, here, client, case):
        answer = self.approve(client, here.dora, case, answer_stable="", vertical_mm="68,5")
        text = answer.content.decode()
        assert answer.status_code == 422
        assert "<title>Error: " in text
        assert '<a href="#id_answer_stable_0">Answer: The base is stable' in text
        assert 'value="68,5"' in text
        assert text.count(" checked") == 18
        assert TryIn.objects.get().outcome == ""

    def test_a_second_dentist_sees_both_verdicts_and_loses_nothing(self, here, client, case):
        self.approve(client, here.dora, case)
        answer = self.approve(
            client,
            here.dora,
            case,
            outcome="approved with changes",
            answer_plane="change",
            words_plane="lower it",
            version=1,
        )
        text = answer.content.decode()
        assert answer.status_code == 409
        assert "Somebody saved this before you" in text
        assert "The plane is parallel to the ala-tragus line: Change" in text
        assert "The plane is parallel to the ala-tragus line: OK" in text
        assert "The plane is parallel to the ala-tragus line: lower it" in text
        assert "Decided" not in text
        assert 'name="version" value="2"' in text
        assert TryIn.objects.get().outcome == "approved"

    def test_the_stored_answers_are_kept_when_chosen_after_a_conflict(self, here, client, case):
        self.approve(client, here.dora, case)
        self.approve(
            client,
            here.dora,
            case,
            version=2,
            outcome="approved with changes",
            changes="24 longer",
            answer_plane="change",
            **{"keep-answers": "stored"},
        )
        row = TryIn.objects.get()
        assert (row.outcome, row.answers["plane"]) == ("approved with changes", "ok")

    def redo(self, client, user, case, **more):
        return self.approve(
            client, user, case, outcome="redo", answer_plane="redo", words_plane="drops", **more
        )

    def test_what_redo_brings_is_shown_before_anything_is_saved(self, here, client, case):
        answer = self.redo(client, here.dora, case)
        text = answer.content.decode()
        assert answer.status_code == 200
        assert "The case goes back to set-up." in text
        assert "<li>The posterior teeth are set again.</li>" in text
        assert "<li>Passes with foil, and cusps seen in their fossae, are struck out.</li>" in text
        assert "Record it and send the case back" in text
        assert TryIn.objects.get().outcome == ""

    def test_redo_sends_the_case_back_once_it_was_seen(self, here, client, case):
        key = "set-up; teeth; passes; parts of the set-up"
        answer = self.redo(client, here.dora, case, follows=key)
        assert answer.status_code == 302
        case.refresh_from_db()
        assert (case.stage, TryIn.objects.get().sent_back_to) == ("set-up", "set-up")
        text = get(client, here.tomas, case, "try_in")
        assert "Sent back to set-up." in text
        assert "<li>The posterior teeth are set again</li>" in text

    def test_what_followed_otherwise_meanwhile_is_shown_again(self, here, client, case):
        answer = self.redo(client, here.dora, case, follows="mounting; mounting")
        assert answer.status_code == 200
        assert TryIn.objects.get().outcome == ""

    def test_a_flasked_case_is_not_sent_back_by_a_try_in(self, here, client, case):
        case.__class__.objects.filter(pk=case.pk).update(stage=Stage.PROCESSING)
        key = "set-up; teeth; passes; parts of the set-up"
        answer = self.redo(client, here.dora, case, follows=key)
        assert answer.status_code == 422
        assert "The case stands at processing: what is flasked" in answer.content.decode()

    def test_the_technician_waits_for_the_dentist(self, here, client, case):
        assert "The dentist records it." in get(client, here.tomas, case, "try_in")
        assert self.approve(client, here.tomas, case).status_code == 403
        assert TryIn.objects.get().outcome == ""

    def test_nothing_is_recorded_before_a_try_in_is_out(self, here, client):
        case = here.case_at(Stage.SET_UP)
        assert "No try-in is out for this case" in get(client, here.dora, case, "try_in")
        assert "Check the base on the bench" not in get(client, here.dora, case, "try_in")
        text = get(client, here.tomas, case, "try_in")
        assert "What is still missing before the try-in" in text
        assert "Check the base on the bench" in text
        answer = self.approve(client, here.dora, case)
        assert answer.status_code == 422
        assert "No try-in is out for this case" in answer.content.decode()

    def test_on_the_interim_route_the_page_says_why_there_is_none(self, here, client):
        case = here.case_at(Stage.SET_UP, route=Route.INTERIM)
        text = get(client, here.dora, case, "try_in")
        assert "No try-in is possible on this route" in text
        assert "still missing" not in text

    def test_a_waived_try_in_is_said_to_be_waived(self, here, client):
        case = here.case_at(Stage.SET_UP, try_in=TryInWish.WAIVED)
        text = get(client, here.dora, case, "try_in")
        assert "The dentist has waived the try-in in the prescription." in text

    def test_another_office_finds_nothing(self, here, client, case):
        assert self.approve(client, here.olga, case).status_code == 404


class TestWaiving:
    @pytest.fixture
    def case(self, here):
        return here.case_at(Stage.SET_UP)

    def test_the_dentist_waives_with_a_reason_that_everybody_reads(self, here, client, case):
        assert "Waive the try-in" in get(client, here.dora, case, "try_in")
        answer = post(client, here.dora, case, "try_in_waive", reason="no visit is possible")
        assert answer.url == reverse("case", args=[case.code])
        row = TryIn.objects.get()
        assert (row.outcome, row.decided_by) == ("waived", here.dora)
        text = get(client, here.tomas, case, "try_in")
        assert "Try-in 1: waived by the dentist" in text
        assert "Reason: no visit is possible" in text
        assert "In the mouth: base" not in text

    def test_without_a_reason_nothing_is_waived(self, here, client, case):
        answer = post(client, here.dora, case, "try_in_waive", reason=" ")
        text = answer.content.decode()
        assert answer.status_code == 422
        assert "<title>Error: " in text
        assert '<a href="#id_reason">Give the reason why the try-in is waived.</a>' in text
        assert not TryIn.objects.exists()

    def test_a_try_in_is_waived_once(self, here, client, case):
        post(client, here.dora, case, "try_in_waive", reason="no visit is possible")
        assert "Waive the try-in" not in get(client, here.dora, case, "try_in")
        answer = post(client, here.dora, case, "try_in_waive", reason="again")
        assert answer.status_code == 409
        assert "there is none to waive" in answer.content.decode()
        assert TryIn.objects.get().changes == "no visit is possible"

    @pytest.mark.parametrize("name", ["farah", "tomas", "mona"])
    def test_nobody_else_waives(self, here, client, case, name):
        user = getattr(here, name)
        assert "Waive the try-in" not in get(client, user, case, "try_in")
        assert post(client, user, case, "try_in_waive", reason="x").status_code == 403
        assert not TryIn.objects.exists()
