"""What the page of a case says about who has it in hand, and which move comes first."""

import pytest
from django.urls import reverse

from labcases.domain import box
from labcases.domain import question as asking
from labcases.enums import Stage
from labcases.views import _ways
from tests.factories import world

pytestmark = pytest.mark.django_db


def page(client, user, case):
    client.force_login(user)
    return client.get(reverse("case", args=[case.code]))


@pytest.mark.parametrize(
    ("came_from", "to", "words"),
    [
        (Stage.DRAFT, Stage.SENT, "The case is on its way to the laboratory."),
        (Stage.SETTINGS, Stage.MOUNTING, "The case is back at mounting."),
        (Stage.TRY_IN, Stage.SET_UP, "The set-up is begun."),
    ],
)
def test_after_a_move_a_plain_sentence_says_what_is_true_now(came_from, to, words):
    assert _ways.moved_words(came_from, to) == words
    assert set(_ways.MOVED) == set(Stage) - {Stage.DRAFT}


class TestWhoHasIt:
    def test_the_laboratory_has_it_and_waits_for_the_dentist_to_approve_the_wax(self, client):
        here = world()
        walk = here.walk()
        walk.to(Stage.FINAL_WAX)
        asked = "It waits for the dentist to approve the final wax."
        assert asked not in page(client, here.dora, walk.reload()).content.decode()
        walk.wax()
        assert asked in page(client, here.dora, walk.reload()).content.decode()

    def test_an_open_question_to_the_office_is_said_where_the_next_step_stands(self, client):
        here = world()
        case = here.case_at(Stage.SET_UP)
        goes_on = "It goes on when the office has answered."
        assert goes_on not in page(client, here.dora, case).content.decode()
        asking.ask(
            case=case,
            about="the shade",
            text="Are the canines darker?",
            waits_for="office",
            clinical=True,
            by=here.tomas,
        )
        assert goes_on in page(client, here.dora, case).content.decode()

    def test_a_box_that_was_taken_in_is_no_longer_on_the_way(self, client):
        here = world()
        walk = here.walk()
        walk.to(Stage.SENT)
        before = page(client, here.tomas, walk.reload()).content.decode()
        walk.take_in("to the laboratory", by=here.lena)
        after = page(client, here.tomas, walk.reload()).content.decode()

        assert "The case is on the way to the laboratory." in before
        assert "The box is at the laboratory, which has not accepted the case yet." in after
        assert "on the way to the laboratory" not in after

    @pytest.mark.parametrize(
        ("stage", "content", "lack"),
        [
            (Stage.JAW_RECORDS, "rim", "No box with a record base has left for the office yet."),
            (Stage.TRY_IN, "wax set-up", "No box with the wax set-up has left for the office yet."),
        ],
    )
    def test_what_the_office_needs_is_missed_until_it_is_sent(self, client, stage, content, lack):
        here = world()
        walk = here.walk()
        walk.to(stage)
        before = page(client, here.lena, walk.reload()).content.decode()
        box.send(box=walk.pack("to the office", content, by=here.lena), by=here.lena)
        after = page(client, here.lena, walk.reload()).content.decode()

        assert lack in before
        assert lack not in after


class TestOrder:
    def test_after_a_try_in_the_usual_way_on_comes_before_a_new_record(self, client):
        here = world()
        text = page(client, here.dora, here.case_at(Stage.TRY_IN)).content.decode()
        assert text.index("Next stage: set-up") < text.index("Next stage: jaw records")
