"""Boxes, as the two houses pack, send and count them."""

import re
from datetime import timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import replanning
from labcases.enums import Stage
from labcases.models import Case
from tests.factories import world

pytestmark = pytest.mark.django_db


def at(name, box):
    return reverse(name, args=[box.case.code, box.pk])


def send(client, user, box):
    client.force_login(user)
    return client.post(at("box_send", box))


def count_in(client, user, box, *counts):
    client.force_login(user)
    names = [f"count_{item.pk}" for item in box.items.all()]
    return client.post(at("box_receive", box), dict(zip(names, counts, strict=True)))


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.walk().case


@pytest.fixture
def box(here):
    """A box on its way to the laboratory."""
    case = here.case_at(Stage.SENT)
    return case.boxes.get()


class TestSending:
    def test_the_first_box_sends_the_case(self, client, here):
        walk = here.walk()
        walk.prescribe()
        walk.sign()
        box = walk.pack("to the laboratory", "impression", "photographs", by=here.farah)
        client.force_login(here.farah)
        text = client.get(reverse("boxes", args=[walk.case.code])).content.decode()
        assert "Send the case with this box" in text
        assert send(client, here.farah, box).status_code == 302
        assert Case.objects.get(pk=walk.case.pk).stage == "sent"
        box.refresh_from_db()
        assert box.sent_by == here.farah

    def test_the_first_box_stays_while_the_prescription_is_not_signed(self, client, here):
        walk = here.walk()
        walk.prescribe()
        box = walk.pack("to the laboratory", "impression", by=here.farah)
        answer = send(client, here.farah, box)
        assert answer.status_code == 422
        assert "The dentist has not signed the prescription." in answer.content.decode()
        box.refresh_from_db()
        assert box.sent_at is None

    def test_a_box_that_was_disinfected_too_short_stays(self, client, here):
        walk = here.walk()
        case = walk.to(Stage.JAW_RECORDS)
        box = walk.pack("to the laboratory", "jaw record", by=here.farah)
        box.items.update(actual_minutes=5)
        answer = send(client, here.farah, box)
        assert answer.status_code == 422
        text = answer.content.decode()
        assert "was disinfected for 5 of 10 minutes. Repeat it and enter the new time." in text
        assert Case.objects.get(pk=case.pk).stage == "jaw records"

    def test_a_later_box_travels_on_its_own(self, client, here):
        walk = here.walk()
        case = walk.to(Stage.JAW_RECORDS)
        box = walk.pack("to the laboratory", "jaw record", by=here.farah)
        assert send(client, here.farah, box).status_code == 302
        box.refresh_from_db()
        assert box.sent_at is not None
        assert Case.objects.get(pk=case.pk).stage == "jaw records"

    def test_the_other_house_does_not_send_it(self, client, here):
        walk = here.walk()
        walk.to(Stage.JAW_RECORDS)
        box = walk.pack("to the laboratory", "jaw record", by=here.farah)
        assert send(client, here.lena, box).status_code == 403

    def test_a_denture_stays_until_it_is_released(self, client, here):
        walk = here.walk()
        walk.to(Stage.FINISHING)
        box = walk.pack("to the office", "denture", by=here.lena)
        answer = send(client, here.lena, box)
        assert answer.status_code == 422
        assert "The denture is not released yet. It stays until it is." in answer.content.decode()

    def test_a_released_denture_dispatches_the_case(self, client, here):
        walk = here.walk()
        case = walk.to(Stage.RELEASED)
        box = walk.pack("to the office", "denture", by=here.lena)
        assert send(client, here.lena, box).status_code == 302
        assert Case.objects.get(pk=case.pk).stage == "dispatched"

    def test_the_slower_of_two_senders_is_told(self, client, here):
        walk = here.walk()
        walk.to(Stage.JAW_RECORDS)
        box = walk.pack("to the laboratory", "jaw record", by=here.farah)
        send(client, here.farah, box)
        late = send(client, here.dora, box)
        assert late.status_code == 409
        assert "Somebody else sent this box already." in late.content.decode()


class TestTakingIn:
    def test_the_laboratory_counts_and_everything_is_there(self, client, here, box):
        assert count_in(client, here.lena, box, "1", "1").status_code == 302
        box.refresh_from_db()
        assert box.received_by == here.lena
        assert [item.received_count for item in box.items.all()] == [1, 1]

    def test_a_difference_is_shown_with_both_numbers(self, client, here, box):
        count_in(client, here.lena, box, "0", "1")
        client.force_login(here.farah)
        text = client.get(reverse("boxes", args=[box.case.code])).content.decode()
        assert "The count differs." in text
        assert "Impression: 1 on the list, 0 counted, so 1 is missing." in text

    def test_a_question_about_the_box_is_proposed_with_the_difference_in_it(
        self, client, here, box
    ):
        count_in(client, here.lena, box, "0", "3")
        text = client.get(reverse("boxes", args=[box.case.code])).content.decode()
        (address,) = re.findall(r'href="([^"]+)">Ask about it', text)
        form = client.get(unescape(address)).content.decode()
        assert f'<option value="box {box.pk}" selected>' in form
        assert (
            "Impression: 1 on the list, 0 counted, so 1 is missing. "
            "Photographs: 1 on the list, 3 counted, so 2 are not on it. Which is right?"
        ) in form

    def test_the_case_says_where_things_are_and_what_is_missing(self, client, here, box):
        where = reverse("case", args=[box.case.code])
        client.force_login(here.lena)
        before = client.get(where)
        assert [(one.laboratory, one.under_way) for one in before.context["inventory"]] == [
            (0, 1),
            (0, 1),
        ]
        count_in(client, here.lena, box, "0", "1")
        text = client.get(where).content.decode()
        assert "missing: 1 x impression" in text
        assert "Where things are, as far as boxes tell" in text

    @pytest.mark.parametrize("name", ["dora", "farah"])
    def test_the_house_that_sent_it_does_not_take_it_in(self, client, here, box, name):
        assert count_in(client, getattr(here, name), box, "1", "1").status_code == 403
        box.refresh_from_db()
        assert box.received_at is None

    def test_each_thing_is_counted(self, client, here, box):
        refused = count_in(client, here.lena, box, "", "1")
        assert refused.status_code == 422
        assert "Count the impression." in refused.content.decode()
        box.refresh_from_db()
        assert box.received_at is None

    def test_a_contaminated_item_is_announced_before_it_is_counted(self, client, here, box):
        box.items.filter(content="impression").update(actual_minutes=2)
        client.force_login(here.lena)
        text = client.get(at("box_receive", box)).content.decode()
        assert "<b>Impression:</b> disinfection not declared" in text
        assert "Treat as contaminated: disinfect and log before handling." in text

    def test_a_box_is_taken_in_once(self, client, here, box):
        count_in(client, here.lena, box, "1", "1")
        late = count_in(client, here.tomas, box, "1", "1")
        assert late.status_code == 409
        text = late.content.decode()
        assert "Lena Marsh took this box in on" in text

    def test_a_box_that_was_not_sent_is_not_taken_in(self, client, here):
        walk = here.walk()
        walk.to(Stage.JAW_RECORDS)
        box = walk.pack("to the laboratory", "jaw record", by=here.farah)
        assert count_in(client, here.lena, box, "1").status_code == 409
        client.force_login(here.lena)
        text = client.get(at("box_receive", box)).content.decode()
        assert "This box has not been sent yet." in text


class TestList:
    def test_an_empty_list_says_what_to_do(self, client, here, case):
        client.force_login(here.farah)
        text = client.get(reverse("boxes", args=[case.code])).content.decode()
        assert "No box has been packed for this case." in text
        assert reverse("box_new", args=[case.code]) in text

    def test_buttons_are_there_for_those_who_may(self, client, here, box):
        address = reverse("boxes", args=[box.case.code])
        client.force_login(here.farah)
        assert "Take it in and count" not in client.get(address).content.decode()
        client.force_login(here.lena)
        assert "Take it in and count" in client.get(address).content.decode()

    def test_a_box_of_another_case_is_not_found_here(self, client, here, box):
        other = here.walk(patient_code="P-200").case
        client.force_login(here.lena)
        address = reverse("box_receive", args=[other.code, box.pk])
        assert client.get(address).status_code == 404
        assert box.comes_to == "laboratory"


def sent_long_ago(box):
    """Without a turn, so what the desk keeps is made again by hand."""
    box.case.boxes.update(sent_at=timezone.now() - timedelta(days=28))
    replanning.refresh([box.case_id])


class TestOverdue:
    @pytest.mark.parametrize("name", ["farah", "lena"])
    def test_both_desks_and_the_case_say_that_a_box_is_overdue(self, client, here, box, name):
        client.force_login(getattr(here, name))
        assert client.get(reverse("desk")).context["boxes_overdue"] == []
        sent_long_ago(box)
        answer = client.get(reverse("desk"))
        assert [(one.box, one.overdue) for one in answer.context["boxes_overdue"]] == [(box, 19)]
        assert "overdue by 19 open days" in answer.content.decode()
        for page in ("case", "boxes"):
            text = client.get(reverse(page, args=[box.case.code])).content.decode()
            assert "overdue by 19 open days" in text

    def test_it_is_overdue_no_more_once_it_is_taken_in(self, client, here, box):
        sent_long_ago(box)
        count_in(client, here.lena, box, "1", "1")
        assert client.get(reverse("desk")).context["boxes_overdue"] == []

    @pytest.mark.parametrize("name", ["farah", "lena"])
    def test_nothing_is_overdue_of_a_case_on_hold(self, client, here, box, name):
        sent_long_ago(box)
        type(box.case).objects.filter(pk=box.case.pk).update(
            on_hold=True, hold_reason="The patient has died."
        )
        replanning.refresh([box.case_id])
        client.force_login(getattr(here, name))
        answer = client.get(reverse("desk"))
        assert answer.context["boxes_overdue"] == []
        assert [one.box for one in answer.context["boxes_in"]] == [box]
        for page in ("case", "boxes"):
            text = client.get(reverse(page, args=[box.case.code])).content.decode()
            assert "overdue" not in text
