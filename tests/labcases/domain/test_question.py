"""Threads of questions: who may say what, when a case waits, and what is new to whom."""

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import prescription, queries, stages
from labcases.domain import question as asking
from labcases.domain.undoing import CLINICAL
from labcases.enums import Side, Stage
from labcases.models import Case, Membership, Question
from tests.factories import world

pytestmark = pytest.mark.django_db

#: asked by, waits for, clinical | D O T L M: may answer
ANSWERS = """
T office     plain     D O . . .
T office     clinical  D . . . .
L office     plain     D O . . .
M office     clinical  D . . . .
D laboratory plain     . . T L M
O laboratory plain     . . T L M
T laboratory plain     . . T L M
D office     clinical  D . . . .
O office     plain     D O . . .
"""

#: asked by, waits for | D O T L M: may ask again once it is answered | may close it
AFTERWARDS = """
T office     . . T L M   . . T . .
L office     . . T L M   . . . L .
D laboratory D O . . .   D . . . .
O laboratory D O . . .   . O . . .
T laboratory . . T . .   . . T . .
D office     D . . . .   D . . . .
"""


def rows(table):
    return [line.split() for line in table.strip().splitlines()]


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.case_at(Stage.ACCEPTED)


def people(here):
    return dict(
        zip("DOTLM", (here.dora, here.farah, here.tomas, here.lena, here.mona), strict=True)
    )


def ask(case, by, **more):
    values = {"about": "the shade", "text": "B2?", "waits_for": Side.OFFICE, **more}
    return asking.ask(case=case, by=by, **values)


def may(verb, here, question):
    """The letters of those who may, in the order of the columns; points for the others."""
    return [letter if verb(user, question) else "." for letter, user in people(here).items()]


@pytest.mark.parametrize("row", rows(ANSWERS), ids=" ".join)
def test_the_house_that_is_waited_for_answers(here, case, row):
    asked_by, waits_for, kind, *letters = row
    question = ask(
        case, people(here)[asked_by], waits_for=Side(waits_for), clinical=kind == "clinical"
    )
    assert may(asking.may_answer, here, question) == letters
    assert may(asking.may_remark, here, question) == list("DOTLM")
    assert asking.may_answer(here.olga, question) is False
    assert asking.may_remark(here.olga, question) is False


@pytest.mark.parametrize("row", rows(AFTERWARDS), ids=" ".join)
def test_the_askers_house_asks_again_and_the_asker_closes(here, case, row):
    asked_by, waits_for, *letters = row
    who = people(here)
    question = ask(case, who[asked_by], waits_for=Side(waits_for))
    assert may(asking.may_ask_again, here, question) == ["."] * 5
    asking.answer(question=question, text="B2", by=who["D" if waits_for == "office" else "M"])
    assert may(asking.may_ask_again, here, question) == letters[:5]
    assert may(asking.may_close, here, question) == letters[5:]
    asking.close(question=question, by=who[asked_by])
    for verb in (asking.may_answer, asking.may_ask_again, asking.may_remark, asking.may_close):
        assert may(verb, here, question) == ["."] * 5


def test_the_house_of_an_asker_who_has_left_closes_the_question(here, case):
    question = ask(case, here.tomas)
    Membership.objects.filter(user=here.tomas).update(active=False)
    assert may(asking.may_close, here, question) == [".", ".", ".", "L", "M"]


def test_the_dentist_answers_by_a_revision_what_is_about_the_prescription(here, case):
    of_field, of_case = ask(case, here.tomas), ask(case, here.tomas, about="the case")
    assert may(asking.may_answer_by_revision, here, of_field) == ["D", ".", ".", ".", "."]
    assert may(asking.may_answer_by_revision, here, of_case) == ["."] * 5


def test_every_field_that_a_question_names_is_one_of_the_signed_part():
    assert set(asking.FIELD_OF.values()) <= set(CLINICAL)


class TestWaiting:
    def test_the_case_waits_until_the_answer(self, here, case):
        question = ask(case, here.tomas)
        assert stages.waiting_for(case) == Side.OFFICE
        with pytest.raises(stages.Refused) as refused:
            stages.move(case=case, to=Stage.MASTER_CAST, by=here.tomas)
        assert [item.text for item in refused.value.items] == [
            "The case waits for the office: a question about the shade is open."
        ]
        asking.answer(question=question, text="Yes", by=here.farah)
        assert stages.waiting_for(case) is None
        stages.move(case=case, to=Stage.MASTER_CAST, by=here.tomas)
        assert case.stage == "master cast and rims"

    def test_it_waits_until_all_are_answered(self, here, case):
        first, second = ask(case, here.tomas), ask(case, here.lena, about="the flange")
        asking.answer(question=first, text="Yes", by=here.dora)
        assert stages.waiting_for(case) == Side.OFFICE
        asking.answer(question=second, text="Full", by=here.dora)
        assert stages.waiting_for(case) is None

    def test_it_does_not_wait_for_a_question_aside(self, here, case):
        ask(case, here.tomas, blocking=False)
        assert stages.waiting_for(case) is None
        assert queries.line(case).waiting == []
        stages.move(case=case, to=Stage.MASTER_CAST, by=here.tomas)

    def test_asking_again_waits_from_then_on(self, here, case):
        question = ask(case, here.tomas)
        asked = question.waiting_since
        asking.answer(question=question, text="B2", by=here.farah)
        asking.ask_again(question=question, text="At the necks too?", by=here.lena)
        assert stages.waiting_for(Case.objects.get(pk=case.pk)) == Side.OFFICE
        assert question.waiting_since > asked
        assert question.answer == ""
        assert [entry.text for entry in question.entries.all()] == ["B2", "At the necks too?"]

    def test_a_remark_ends_no_wait(self, here, case):
        question = ask(case, here.tomas, clinical=True)
        asking.remark(question=question, text="The dentist is back on Monday.", by=here.farah)
        assert stages.waiting_for(case) == Side.OFFICE

    def test_a_question_that_was_taken_back_ends_it_with_a_reason(self, here, case):
        question = ask(case, here.tomas)
        with pytest.raises(ValueError, match="Give the reason why you take the question back"):
            asking.close(question=question, by=here.tomas, reason="  ")
        assert stages.waiting_for(case) == Side.OFFICE
        asking.close(question=question, by=here.tomas, reason="It stands on the slip.")
        assert stages.waiting_for(Case.objects.get(pk=case.pk)) is None
        assert question.entries.get().text == "It stands on the slip."

    def test_a_line_says_for_whom_and_since_when_the_longest_wait_first(self, here, case):
        late, early = ask(case, here.tomas), ask(case, here.farah, waits_for=Side.LABORATORY)
        also = ask(case, here.lena, about="the flange")
        now = timezone.now()
        for question, days in ((late, 2), (early, 5), (also, 1)):
            Question.objects.filter(pk=question.pk).update(waiting_since=now - timedelta(days))
        for found in (
            queries.line(Case.objects.get(pk=case.pk)),
            queries.open_lines(here.tomas)[0],
        ):
            assert [(one.on, (now - one.since).days) for one in found.waiting] == [
                (Side.LABORATORY, 5),
                (Side.OFFICE, 2),
            ]
            assert found.waits_for == Side.LABORATORY


class TestThread:
    def test_both_sides_speak_in_turn_and_nothing_is_lost(self, here, case):
        question = ask(case, here.tomas)
        asking.answer(question=question, text="B2", by=here.farah)
        asking.answer(question=question, text="No, B3", by=here.dora)
        asking.ask_again(question=question, text="Canines too?", by=here.tomas)
        asking.answer(question=question, text="Too", by=here.dora)
        asking.close(question=question, by=here.tomas)
        assert [(e.number, e.kind, e.text, e.by) for e in question.entries.all()] == [
            (1, "answer", "B2", here.farah),
            (2, "answer", "No, B3", here.dora),
            (3, "asked again", "Canines too?", here.tomas),
            (4, "answer", "Too", here.dora),
        ]
        assert (question.answer, question.answered_by) == ("Too", here.dora)
        assert [entry.act for entry in case.history.filter(part="question")] == [
            *("asked", "answered", "answered", "asked again", "answered", "closed")
        ]

    def test_who_writes_on_an_older_thread_is_told_what_was_said(self, here, case):
        question = ask(case, here.tomas)
        old = Question.objects.get(pk=question.pk)
        asking.answer(question=question, text="Yes", by=here.dora)
        with pytest.raises(asking.SaidMeanwhile, match="Dora Winsley said something") as told:
            asking.answer(question=old, text="No", by=here.farah)
        assert [entry.text for entry in told.value.entries] == ["Yes"]
        question.refresh_from_db()
        assert (question.answer, question.said) == ("Yes", 1)

    def test_nothing_is_said_in_a_closed_thread(self, here, case):
        question = ask(case, here.tomas)
        asking.answer(question=question, text="Yes", by=here.dora)
        old = Question.objects.get(pk=question.pk)
        asking.close(question=question, by=here.tomas)
        with pytest.raises(asking.Closed, match="Tomas Abelard has closed this question"):
            asking.remark(question=old, text="Thanks", by=here.farah)
        with pytest.raises(asking.Closed):
            asking.close(question=old, by=here.tomas)
        assert question.entries.count() == 1

    def test_one_who_works_on_both_sides_asks_from_the_other_one(self, here, case):
        Membership.objects.create(user=here.dora, organisation=here.laboratory, role="technician")
        assert ask(case, here.dora).asked_from == "laboratory"
        assert ask(case, here.dora, waits_for=Side.LABORATORY).asked_from == "office"


class TestRevision:
    def test_the_case_waits_until_the_revision_is_signed_and_the_answer_links_it(self, here):
        walk = here.walk()
        case = walk.to(Stage.ACCEPTED)
        question = ask(case, here.tomas, clinical=True)
        row = prescription.answer_by_revision(asked=question, by=here.dora)
        assert (row.revision, row.status) == (2, "draft")
        assert stages.waiting_for(walk.reload()) == Side.OFFICE
        walk.prescribe(shade="B3")
        walk.sign()
        question.refresh_from_db()
        assert stages.waiting_for(walk.reload()) is None
        assert question.answer == "Revision 2 of the prescription is signed."
        assert [(e.kind, e.revision) for e in question.entries.all()] == [
            ("revision", row),
            ("answer", row),
        ]

    def test_one_revision_answers_two_questions_and_leaves_a_third(self, here):
        walk = here.walk()
        case = walk.to(Stage.ACCEPTED)
        first, second = ask(case, here.tomas), ask(case, here.tomas, about="the mould")
        third = ask(case, here.tomas, about="the flange")
        rows = {prescription.answer_by_revision(asked=q, by=here.dora) for q in (first, second)}
        assert len(rows) == 1
        walk.prescribe(shade="B3")
        walk.sign()
        for question, waits in ((first, False), (second, False), (third, True)):
            question.refresh_from_db()
            assert question.waits is waits

    def test_an_answer_in_words_meanwhile_stays_the_answer(self, here):
        walk = here.walk()
        question = ask(walk.to(Stage.ACCEPTED), here.tomas)
        prescription.answer_by_revision(asked=question, by=here.dora)
        asking.answer(question=question, text="Leave it at B2", by=here.dora)
        walk.prescribe(mould="M7")
        walk.sign()
        question.refresh_from_db()
        assert question.answer == "Leave it at B2"

    def test_no_revision_is_started_on_an_older_thread(self, here, case):
        question = ask(case, here.tomas)
        old = Question.objects.get(pk=question.pk)
        asking.answer(question=question, text="B2", by=here.farah)
        with pytest.raises(asking.SaidMeanwhile):
            prescription.answer_by_revision(asked=old, by=here.dora)
        assert case.prescriptions.count() == 1


class TestUnread:
    def test_each_person_counts_what_others_said(self, here, case):
        def new():
            return [asking.unread(user, [case]).get(case.pk, 0) for user in people(here).values()]

        question = ask(case, here.tomas)
        assert new() == [1, 1, 0, 1, 1]
        asking.answer(question=question, text="B2", by=here.farah)
        assert new() == [2, 0, 1, 2, 2]
        asking.mark_read(user=here.dora, question=question, said=0)
        assert new() == [1, 0, 1, 2, 2]
        asking.mark_read(user=here.dora, question=question, said=1)
        asking.mark_read(user=here.dora, question=question, said=0)
        assert new() == [0, 0, 1, 2, 2]
        asking.close(question=question, by=here.tomas)
        assert new() == [0] * 5

    def test_an_ended_case_has_nothing_new(self, here, case):
        ask(case, here.tomas)
        stages.move(case=case, to=Stage.CANCELLED, by=here.dora, reason="moved away")
        assert asking.unread(here.dora, [case]) == {}
