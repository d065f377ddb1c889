"""Reporting a box, taking that back, settling differences, and boxes that nobody announced."""

import pytest
from django.urls import reverse

from labcases.enums import Stage
from tests.factories import world
from tests.labcases.views.test_boxes import count_in
from tests.labcases.views.test_packing import CLEAN, packed

pytestmark = pytest.mark.django_db

GONE = "The box with the impression and the photographs is reported as lost."


@pytest.fixture
def here():
    return world()


@pytest.fixture
def box(here):
    """A box on its way to the laboratory."""
    return here.case_at(Stage.SENT).boxes.get()


def post(client, user, name, case, *args, **data):
    client.force_login(user)
    return client.post(reverse(name, args=[case.code, *args]), data)


def report(client, user, box, trouble="lost", note="The courier has no trace of it."):
    return post(client, user, "box_report", box.case, box.pk, trouble=trouble, note=note)


def text(client, user, name, *args):
    client.force_login(user)
    return client.get(reverse(name, args=args)).content.decode()


class TestReporting:
    @pytest.mark.parametrize("name", ["farah", "lena"])
    def test_either_house_reports_it_and_both_desks_read_it(self, client, here, box, name):
        assert report(client, getattr(here, name), box).status_code == 302
        for user in (here.farah, here.lena):
            desk = text(client, user, "desk")
            assert "Boxes lost or not ours" in desk
            assert f"{GONE} It was sent to the laboratory" in desk
            assert "The courier has no trace of it." in desk
            boxes = text(client, user, "boxes", box.case.code)
            assert "Reported as lost" in boxes
            assert "Take it in and count" not in boxes
            case = text(client, user, "case", box.case.code)
            assert f"1 box; missing: 1 x impression, 1 x photographs. {GONE}" in case
            assert f"{GONE} Send it again, or say that it turned up." in case
            assert case.count(GONE) == 3
            assert "declared or logged as disinfected" not in case

    def test_the_strip_says_of_the_other_boxes_how_they_were_disinfected(self, client, here, box):
        here.walk().pack("to the laboratory", "tray", by=here.farah)
        box.case.boxes.model.objects.exclude(pk=box.pk).update(case=box.case)
        report(client, here.farah, box)
        case = text(client, here.farah, "case", box.case.code)
        strip = f"{GONE} Everything in the other boxes is declared or logged as disinfected"
        assert strip in case

    def test_it_turns_up_and_is_taken_in(self, client, here, box):
        report(client, here.farah, box)
        assert count_in(client, here.lena, box, "1", "1").status_code == 409
        receive = text(client, here.lena, "box_receive", box.case.code, box.pk)
        assert "Say first, on the page of the boxes, that it turned up." in receive
        assert post(client, here.lena, "box_turned_up", box.case, box.pk).status_code == 302
        assert count_in(client, here.lena, box, "1", "1").status_code == 302
        again = post(client, here.lena, "box_turned_up", box.case, box.pk)
        assert again.status_code == 409
        assert "Nobody has reported this box" in again.content.decode()

    def test_a_counted_box_is_not_ours_but_not_lost(self, client, here, box):
        count_in(client, here.lena, box, "1", "1")
        refused = report(client, here.lena, box, "lost")
        assert refused.status_code == 422
        assert "one that was counted is not lost" in refused.content.decode()
        assert report(client, here.lena, box, "not ours", "Another code.").status_code == 302
        words = text(client, here.farah, "boxes", box.case.code)
        assert "Reported as not ours, or of another case" in words
        assert "It is ours after all" in words

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ({"trouble": ""}, "Choose what became of the box."),
            ({"note": ""}, "Write in a sentence what is known."),
        ],
    )
    def test_a_report_without_a_word_is_refused(self, client, here, box, typed, sentence):
        answer = report(client, here.lena, box, **typed)
        assert answer.status_code == 422
        assert sentence in answer.content.decode()
        assert "<title>Error: " in answer.content.decode()
        box.refresh_from_db()
        assert box.trouble == ""

    def test_the_slower_of_two_reports_is_told(self, client, here, box):
        report(client, here.farah, box)
        answer = report(client, here.lena, box, "not ours")
        assert answer.status_code == 409
        assert "is reported already" in answer.content.decode()


class TestDifferences:
    def settle(self, client, user, box, **data):
        item = box.items.get(content="impression")
        typed = {"outcome": "found", "note": "It lay under the tray."}
        return post(client, user, "box_settle", box.case, item.pk, **typed | data)

    def test_either_side_settles_it_and_both_read_what_it_was(self, client, here, box):
        count_in(client, here.lena, box, "0", "1")
        for user in (here.farah, here.lena):
            assert "The count differs." in text(client, user, "boxes", box.case.code)
        assert self.settle(client, here.farah, box).status_code == 302
        for user in (here.farah, here.lena):
            words = text(client, user, "boxes", box.case.code)
            assert "The count differs." not in words
            assert "Found after all. It lay under the tray." in words
        assert self.settle(client, here.lena, box).status_code == 409

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ({"outcome": ""}, "Choose what the difference turned out to be."),
            ({"outcome": "not listed"}, "Choose what the difference turned out to be."),
            ({"note": ""}, "Write in a sentence how it was settled."),
        ],
    )
    def test_it_is_settled_with_a_sentence_that_fits(self, client, here, box, typed, sentence):
        count_in(client, here.lena, box, "0", "1")
        answer = self.settle(client, here.lena, box, **typed)
        assert answer.status_code == 422
        assert sentence in answer.content.decode()

    def test_it_is_open_again_when_the_line_is_struck_out(self, client, here, box):
        count_in(client, here.lena, box, "0", "1")
        self.settle(client, here.farah, box, outcome="lost")
        row = box.case.settlements.get()
        refused = post(client, here.lena, "settlement_strike", box.case, row.pk, reason="")
        assert refused.status_code == 422
        assert "Give the reason why the line is struck out." in refused.content.decode()
        post(client, here.lena, "settlement_strike", box.case, row.pk, reason="It is here.")
        words = text(client, here.farah, "boxes", box.case.code)
        assert "The count differs." in words
        assert "Struck out by Lena Marsh" in words
        late = post(client, here.farah, "settlement_strike", box.case, row.pk, reason="again")
        assert late.status_code == 409


def test_the_tracking_number_is_read_on_both_sides(client, here):
    case = here.walk().case
    data = packed({"content": "cast", "count": "1", **CLEAN}, tracking="RX 4411")
    post(client, here.farah, "box_new", case, **data)
    for user in (here.farah, here.lena):
        assert '<span class="code">RX 4411</span>' in text(client, user, "boxes", case.code)


def test_the_history_tells_it_in_sentences(client, here, box):
    report(client, here.farah, box)
    post(client, here.lena, "box_turned_up", box.case, box.pk)
    words = text(client, here.farah, "history", box.case.code)
    assert "reported a box to the laboratory as lost" in words
    assert "took back that a box to the laboratory was lost: it turned up" in words
