"""Arrival, surgery and delivery, as people meet them."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.enums import Stage
from labcases.management import walk_delivery
from labcases.models import ArrivalCheck, Case, Delivery
from labcases.templatetags.units import long_date
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.case_at(Stage.RECEIVED)


def get(client, user, case, name):
    client.force_login(user)
    return client.get(reverse(name, args=[case.code])).content.decode()


def post(client, user, case, name, **typed):
    client.force_login(user)
    return client.post(reverse(name, args=[case.code]), typed)


def test_the_desk_of_the_office_checks_what_came(here, client, case):
    typed = {"answer_ar_whole": "no", "words_ar_whole": "a chip at 21"}
    assert post(client, here.farah, case, "arrival", version=0, **typed).status_code == 302
    assert ArrivalCheck.objects.get().done_by == here.farah
    text = get(client, here.tomas, case, "arrival")
    assert "a chip at 21" in text
    assert "Save the check on arrival" not in text


def test_a_box_that_is_not_counted_is_not_checked(here, client, case):
    case.boxes.update(received_at=None)
    answer = post(client, here.farah, case, "arrival", version=0)
    assert answer.status_code == 422
    assert "Take in the box with the denture and count it first" in answer.content.decode()


def test_other_teeth_lead_to_the_report(here, client, case):
    today = long_date(timezone.localdate())
    typed = {"held_on": today, "teeth_out": "", "why_otherwise": "no time"}
    assert post(client, here.dora, case, "surgery", version=0, **typed).status_code == 302
    text = get(client, here.tomas, case, "surgery")
    assert "Other teeth than planned." in text
    assert "Report that the surgeon did otherwise" in text
    assert "Neither is stopped on this page&#x27;s word; the dentist decides" in text


def test_the_dentist_delivers_and_the_laboratory_reads(here, client, case):
    today = long_date(timezone.localdate())
    typed = {
        "delivered_on": today,
        "relieved": "at the tuberosity",
        "liner_kind": "soft liner",
        "liner_lot": "SL-9",
    }
    assert post(client, here.dora, case, "delivery", version=0, **typed).status_code == 302
    text = get(client, here.tomas, case, "delivery")
    assert "at the tuberosity" in text
    assert "lot SL-9" in text
    assert "A denture that does not seat is not pressed home." in text
    assert "Record the delivery" not in text


def test_what_the_dentist_entered_stands_in_the_boxes_again(here, client, case):
    walk_delivery.deliver(case, here.dora)
    text = get(client, here.dora, case, "delivery")
    for name in ("delivered_on", "vertical_mm", "closing_1", "adjusted", "liner_until"):
        assert text.count(f' id="id_{name}"') == 1, name


class TestSettling:
    @pytest.fixture
    def late(self, case):
        Case.objects.update(surgery_on=timezone.localdate() - timedelta(days=15))
        return case

    def test_the_laboratory_says_that_nobody_reported(self, here, client, late):
        assert "the surgery day was 15 days ago" in get(client, here.lena, late, "delivery")
        answer = post(client, here.lena, late, "delivery_settle", settled_reason="asked twice")
        assert answer.status_code == 302
        assert Case.objects.get().stage == Stage.DELIVERED
        assert "Delivered, not reported" in get(client, here.farah, late, "case")

    def test_without_words_it_is_refused(self, here, client, late):
        answer = post(client, here.lena, late, "delivery_settle")
        assert answer.status_code == 422
        assert "Say how you know: whom you asked" in answer.content.decode()
        assert not Delivery.objects.exists()
