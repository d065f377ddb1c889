"""Questions and answers, as people meet them."""

import pytest
from django.urls import reverse

from labcases.domain import case as cases
from labcases.enums import Side, Stage
from tests.factories import world

pytestmark = pytest.mark.django_db


def ask(client, user, case, **more):
    client.force_login(user)
    data = {"about": "the shade", "text": "B2 or B3?", "waits_for": "office", **more}
    return client.post(reverse("questions", args=[case.code]), data)


def answer(client, user, question, text="B2, as on the slip"):
    client.force_login(user)
    return client.post(
        reverse("question_answer", args=[question.case.code, question.pk]), {"text": text}
    )


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


def test_an_answer_closes_the_question_and_is_read_under_it(client, here, case):
    ask(client, here.tomas, case)
    assert answer(client, here.farah, case.questions.get()).status_code == 302
    text = thread(client, here.tomas, case)
    assert "B2, as on the slip" in text
    assert "Waits for the office" not in text
    assert case.history.last().act == "answered"


@pytest.mark.parametrize("name", ["farah", "tomas", "lena", "mona"])
def test_only_the_dentist_answers_a_clinical_question(client, here, case, name):
    ask(client, here.tomas, case, clinical="on")
    question = case.questions.get()
    assert answer(client, getattr(here, name), question).status_code == 403
    assert "Only the dentist answers a clinical question." in thread(
        client, getattr(here, name), case
    )
    question.refresh_from_db()
    assert question.answered_at is None
    assert answer(client, here.dora, question).status_code == 302


def test_an_empty_answer_is_refused(client, here, case):
    ask(client, here.tomas, case)
    refused = answer(client, here.farah, case.questions.get(), " ")
    assert refused.status_code == 422
    text = refused.content.decode()
    assert "Write the answer." in text
    assert "<title>Error: " in text


def test_the_slower_of_two_answers_is_shown_beside_the_first(client, here, case):
    ask(client, here.tomas, case)
    question = case.questions.get()
    answer(client, here.dora, question, "B2")
    late = answer(client, here.farah, question, "B3, I think")
    assert late.status_code == 409
    text = late.content.decode()
    assert "Dora Winsley answered the question about the shade" in text
    assert "B3, I think" in text
    question.refresh_from_db()
    assert question.answer == "B2"


def test_a_question_of_another_case_is_not_found_here(client, here, case):
    other = here.walk(patient_code="P-200").case
    question = cases.ask(
        case=other, about="the shade", text="?", waits_for=Side.OFFICE, by=here.tomas
    )
    client.force_login(here.farah)
    address = reverse("question_answer", args=[case.code, question.pk])
    assert client.post(address, {"text": "B2"}).status_code == 404


def test_an_empty_thread_says_what_a_question_does(client, here, case):
    text = thread(client, here.farah, case)
    assert "Nobody has asked anything about this case yet." in text
