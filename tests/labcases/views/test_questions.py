"""Questions and answers, as people meet them."""

import pytest
from django.urls import reverse

from labcases.domain import question as asking
from labcases.enums import Side, Stage
from labcases.templatetags.units import long_time, unbroken
from tests.factories import world

pytestmark = pytest.mark.django_db


def ask(client, user, case, **more):
    client.force_login(user)
    data = {"about": "the shade", "text": "B2 or B3?", "waits_for": "office", **more}
    return client.post(reverse("questions", args=[case.code]), data)


def say(client, user, question, text="B2, as on the slip", *, seen=0, how="answer"):
    client.force_login(user)
    address = reverse(f"question_{how}", args=[question.case.code, question.pk])
    return client.post(address, {"text": text, "seen": seen})


def thread(client, user, case, query=""):
    client.force_login(user)
    return client.get(reverse("questions", args=[case.code]) + query).content.decode()


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.case_at(Stage.ACCEPTED)


@pytest.mark.parametrize("name", ["dora", "farah", "tomas", "lena", "mona"])
def test_everybody_of_the_case_may_ask(client, here, case, name):
    assert ask(client, getattr(here, name), case).status_code == 302
    assert case.questions.get().asked_by == getattr(here, name)


def test_nobody_else_may_ask(client, here, case):
    assert ask(client, here.olga, case).status_code == 404
    assert not case.questions.exists()


def test_a_question_names_what_it_is_about(client, here, case):
    refused = ask(client, here.tomas, case, about="")
    assert refused.status_code == 422
    assert "Choose what the question is about." in refused.content.decode()
    assert "B2 or B3?" in refused.content.decode()
    assert ask(client, here.tomas, case, about="lunch").status_code == 422
    assert not case.questions.exists()


def test_the_link_from_a_field_chooses_what_it_is_about(client, here, case):
    text = thread(client, here.tomas, case, "?about=the%20shade")
    assert '<option value="the shade" selected>Shade</option>' in text


@pytest.mark.parametrize(("name", "side"), [("farah", "laboratory"), ("tomas", "office")])
def test_the_other_house_is_offered_as_the_one_that_answers(client, here, case, name, side):
    text = thread(client, getattr(here, name), case)
    chosen = text.split(f'value="{side}"')[1].split(">")[0]
    assert "checked" in chosen


def test_a_clinical_question_waits_for_the_office_only(client, here, case):
    refused = ask(client, here.tomas, case, waits_for="laboratory", clinical="on")
    assert refused.status_code == 422
    assert "Only the dentist answers a clinical question." in refused.content.decode()


def test_an_answer_ends_the_wait_and_is_read_under_it(client, here, case):
    ask(client, here.tomas, case)
    assert say(client, here.farah, case.questions.get()).status_code == 302
    text = thread(client, here.tomas, case)
    assert "B2, as on the slip" in text
    assert "Waits for the office" not in text
    assert case.history.last().act == "answered"


@pytest.mark.parametrize("name", ["farah", "tomas", "lena", "mona"])
def test_only_the_dentist_answers_a_clinical_question(client, here, case, name):
    ask(client, here.tomas, case, clinical="on")
    question = case.questions.get()
    assert say(client, getattr(here, name), question).status_code == 403
    assert "Only the dentist answers a clinical question." in thread(
        client, getattr(here, name), case
    )
    question.refresh_from_db()
    assert question.answered_at is None
    assert say(client, here.dora, question).status_code == 302


def test_an_empty_answer_is_refused(client, here, case):
    ask(client, here.tomas, case)
    refused = say(client, here.farah, case.questions.get(), " ")
    assert refused.status_code == 422
    text = refused.content.decode()
    assert "Write the answer." in text
    assert "<title>Error: " in text


def test_the_slower_of_two_answers_is_shown_beside_the_first(client, here, case):
    ask(client, here.tomas, case)
    question = case.questions.get()
    say(client, here.dora, question, "B2")
    late = say(client, here.farah, question, "B3, I think")
    assert late.status_code == 409
    text = late.content.decode()
    assert "Dora Winsley said something in this thread while you were writing." in text
    assert text.count("B3, I think") == 2
    assert "<title>Error: " in text
    question.refresh_from_db()
    assert question.answer == "B2"


def test_a_question_of_another_case_is_not_found_here(client, here, case):
    other = here.walk(patient_code="P-200").case
    question = asking.ask(
        case=other, about="the shade", text="?", waits_for=Side.OFFICE, by=here.tomas
    )
    client.force_login(here.farah)
    address = reverse("question_answer", args=[case.code, question.pk])
    assert client.post(address, {"text": "B2"}).status_code == 404


def test_an_empty_thread_says_what_a_question_does(client, here, case):
    text = thread(client, here.farah, case)
    assert "Nobody has asked anything about this case yet." in text


def close(client, user, question, *, seen, reason=""):
    client.force_login(user)
    address = reverse("question_close", args=[question.case.code, question.pk])
    return client.post(address, {"seen": seen, "reason": reason})


def test_a_question_aside_says_that_the_case_goes_on(client, here, case):
    ask(client, here.tomas, case, aside="on")
    assert "the case goes on meanwhile" in thread(client, here.farah, case)


def test_a_thread_goes_to_and_fro_until_the_asker_closes_it(client, here, case):
    ask(client, here.tomas, case)
    question = case.questions.get()
    say(client, here.farah, question)
    assert "Ask again" in thread(client, here.tomas, case)
    assert (
        say(client, here.tomas, question, "At the necks?", seen=1, how="again").status_code == 302
    )
    text = thread(client, here.farah, case)
    assert "Waits for the office" in text
    assert "At the necks?" in text
    say(client, here.dora, question, "There too", seen=2)
    assert close(client, here.farah, question, seen=3).status_code == 403
    assert close(client, here.tomas, question, seen=3).status_code == 302
    text = thread(client, here.farah, case)
    assert "Closed questions: 1" in text
    assert "There too" in text
    assert "Save the answer" not in text


def test_only_an_answered_question_is_asked_again(client, here, case):
    ask(client, here.tomas, case)
    assert say(client, here.tomas, case.questions.get(), how="again").status_code == 403


def test_two_who_ask_again_at_once_are_told_of_each_other(client, here, case):
    ask(client, here.tomas, case)
    question = case.questions.get()
    say(client, here.farah, question)
    say(client, here.tomas, question, "Canines?", seen=1, how="again")
    late = say(client, here.lena, question, "Necks?", seen=1, how="again")
    assert late.status_code == 409
    assert "Canines?" in late.content.decode()


def test_a_remark_of_the_front_desk_does_not_answer_a_clinical_question(client, here, case):
    ask(client, here.tomas, case, clinical="on")
    question = case.questions.get()
    text = thread(client, here.farah, case)
    assert "Only the dentist answers a clinical question. A remark does not end the wait." in text
    assert say(client, here.farah, question, "Back on Monday", how="remark").status_code == 302
    text = thread(client, here.tomas, case)
    assert "Back on Monday" in text
    assert "Waits for the office" in text


def test_a_question_is_taken_back_with_a_reason_only(client, here, case):
    ask(client, here.tomas, case)
    question = case.questions.get()
    refused = close(client, here.tomas, question, seen=0)
    assert refused.status_code == 422
    assert "Give the reason why you take the question back." in refused.content.decode()
    assert close(client, here.tomas, question, seen=0, reason="On the slip").status_code == 302
    assert "On the slip" in thread(client, here.farah, case)


class TestRevision:
    def revise(self, client, user, question, seen=0):
        client.force_login(user)
        address = reverse("question_revise", args=[question.case.code, question.pk])
        return client.post(address, {"seen": seen})

    def test_it_opens_at_the_field_and_the_thread_links_it(self, client, here, case):
        ask(client, here.tomas, case, clinical="on")
        question = case.questions.get()
        assert "Answer by a new revision" in thread(client, here.dora, case)
        answer = self.revise(client, here.dora, question)
        assert answer.url == (
            reverse("prescription_step", args=[case.code, "materials"]) + "#id_shade"
        )
        text = thread(client, here.tomas, case)
        assert "revision 2 is being written to answer it" in text
        assert "Revision 2 of the prescription</a>" in text
        assert "Go on with revision 2" in thread(client, here.dora, case)
        self.revise(client, here.dora, question, seen=1)
        assert question.entries.count() == 1

    @pytest.mark.parametrize("name", ["farah", "tomas", "lena", "mona"])
    def test_nobody_but_the_dentist_starts_one(self, client, here, case, name):
        ask(client, here.tomas, case)
        assert "Answer by a new revision" not in thread(client, getattr(here, name), case)
        refused = self.revise(client, getattr(here, name), case.questions.get())
        assert refused.status_code == 403
        assert case.prescriptions.count() == 1

    def test_after_processing_has_begun_it_says_what_to_do(self, client, here):
        case = here.case_at(Stage.PROCESSING)
        ask(client, here.tomas, case)
        client.force_login(here.dora)
        address = reverse("question_revise", args=[case.code, case.questions.get().pk])
        text = client.post(address, {"seen": 0}, follow=True).content.decode()
        assert "Processing has begun. A change is now a new case" in text


class TestNew:
    def test_new_things_are_marked_until_the_person_says_so(self, client, here, case):
        ask(client, here.tomas, case)
        question = case.questions.get()
        text = thread(client, here.farah, case)
        assert "Mark 1 new as read" in text
        assert "Mark 1 new as read" in thread(client, here.farah, case)
        client.post(
            reverse("questions_read", args=[case.code]), {f"seen-{question.pk}": question.said}
        )
        assert "new as read" not in thread(client, here.farah, case)
        assert "Mark 1 new as read" in thread(client, here.dora, case)

    def test_what_was_said_after_the_page_was_opened_stays_new(self, client, here, case):
        ask(client, here.tomas, case)
        question = case.questions.get()
        say(client, here.dora, question)
        client.force_login(here.farah)
        client.post(reverse("questions_read", args=[case.code]), {f"seen-{question.pk}": 0})
        assert "Mark 1 new as read" in thread(client, here.farah, case)

    @pytest.mark.parametrize("place", ["case", "desk", "bench", "cases"])
    def test_case_desk_bench_and_cases_count_them(self, client, here, case, place):
        ask(client, here.tomas, case)
        where = reverse(place, args=[case.code] if place == "case" else [])
        for user, count in ((here.mona, 1), (here.tomas, 0)):
            client.force_login(user)
            text = client.get(where).content.decode()
            words = {"desk": "1 thing is new to you.", "bench": "1 new entry in questions</b>"}
            assert (words.get(place, "1 new</b>") in text) is bool(count)

    @pytest.mark.parametrize("place", ["case", "desk", "bench", "cases"])
    def test_every_page_that_lists_the_case_says_for_whom_it_waits_and_since_when(
        self, client, here, case, place
    ):
        ask(client, here.tomas, case)
        since = long_time(case.questions.get().waiting_since)
        client.force_login(here.mona)
        where = reverse(place, args=[case.code] if place == "case" else [])
        assert f"Waits for the office since {unbroken(since)}" in client.get(where).content.decode()


@pytest.mark.parametrize("told", ["9" * 5000, "\u0661", "-1", "1.5", "many"])
def test_a_count_that_is_none_is_no_reading(client, here, told):
    case = here.walk().case
    ask(client, here.tomas, case)
    question = case.questions.get()
    client.force_login(here.farah)

    read = client.post(reverse("questions_read", args=[case.code]), {f"seen-{question.pk}": told})

    assert read.status_code == 302
    assert not question.reads.filter(user=here.farah).exists()
    assert say(client, here.tomas, question, "And?", seen=told, how="again").status_code == 403
