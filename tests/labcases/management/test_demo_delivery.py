"""The demonstration's finished dentures, whichever day it is loaded on."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases.domain import chain, remaking, remount_ledger, review_state
from labcases.domain.open_days import Calendar
from labcases.enums import BoxDirection
from labcases.enums.reviews import Decision
from labcases.management import demo_delivery
from labcases.management.demo_stories import STORIES, Stories
from labcases.models import Case, Organisation
from labcases.views._cast_parts import casts as casts_part
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def stories():
    here = world()
    return Stories(
        laboratory=here.laboratory,
        offices=(here.office, here.office),
        hands=(here.hands, here.hands),
    )


def case(patient_code: str) -> Case:
    return Case.objects.filter(patient__code=patient_code).earliest("id")


@pytest.mark.parametrize(
    ("today", "day"),
    [
        (date(2026, 11, 28), date(2026, 11, 26)),
        (date(2026, 11, 29), date(2026, 11, 27)),
        (date(2026, 11, 30), date(2026, 11, 27)),
        (date(2026, 12, 1), date(2026, 11, 27)),
        (date(2026, 12, 2), date(2026, 11, 30)),
        (date(2026, 12, 30), date(2026, 12, 24)),
    ],
    ids=["Saturday", "Sunday", "Monday", "Tuesday", "Wednesday", "after Boxing Day"],
)
def test_a_day_that_lies_back_is_a_working_day_on_every_weekday(monkeypatch, today, day):
    monkeypatch.setattr(timezone, "localdate", lambda *_given: today)
    house = Organisation(holiday_region="gb-eng")
    monkeypatch.setattr(
        demo_delivery, "calendar_of", lambda one: Calendar(region=one.holiday_region)
    )
    assert demo_delivery.before_today(2, house) == day


def test_the_delivered_one_was_operated_on_and_seen_before_today(stories):
    demo_delivery.delivered(stories)

    row = case("FL-1031")
    today = timezone.localdate()
    told = review_state.of(row)
    assert row.stage == "delivered"
    assert row.surgery_on == row.surgery.held_on == row.delivery.delivered_on < today
    assert [line.happened_on for line in review_state.standing(row)] == [
        row.surgery_on + timedelta(days=1)
    ]
    assert told.liner.placed_on == row.surgery_on
    assert row.delivery.liner_lot == "SL-118"


def test_what_happened_to_a_delivered_one_stands_in_its_order(stories):
    demo_delivery.delivered(stories)

    row = case("FL-1031")
    entries = list(row.history.order_by("sequence"))
    assert [one.at for one in entries] == sorted(one.at for one in entries)
    out = row.boxes.get(direction=BoxDirection.TO_OFFICE)
    days = [timezone.localdate(at) for at in (out.sent_at, out.received_at)]
    assert days[0] < days[1] < row.delivery.delivered_on
    assert timezone.localdate(row.history.get(changes__stage__1="Delivered").at) == row.surgery_on
    assert chain.walk(row.laboratory).broken is None


def test_one_at_the_remount_waits_for_half_its_rise(stories):
    demo_delivery.at_remount(stories)

    told = remount_ledger.of(case("FL-1034"))
    assert (str(told.highest_mm), str(told.rise_mm), told.balanced) == ("0.40", "0.20", False)


def test_one_is_at_the_office_and_checked_with_its_surgery_ahead(stories):
    demo_delivery.at_the_office(stories)

    row = case("HB-0309")
    assert (row.stage, set(row.arrival.answers.values())) == ("received", {"yes"})
    assert row.surgery_on > timezone.localdate()


def test_one_is_made_again_and_both_cases_say_so(stories):
    demo_delivery.made_again(stories)

    old = case("FL-1012")
    (made,) = remaking.remakes_of(old)
    assert review_state.of(old).decision.decision == Decision.REMAKE
    assert remaking.made_from(made.case).old == old
    assert (old.stage, made.case.stage) == ("in review", "draft")
    assert old.review_entries.latest("happened_on").happened_on < timezone.localdate()


def test_every_one_is_told():
    told = (
        demo_delivery.delivered,
        demo_delivery.made_again,
        demo_delivery.at_remount,
        demo_delivery.at_the_office,
    )
    assert [story for story in told if story not in STORIES] == []


def test_the_case_of_a_delivered_one_names_its_casts_and_its_record(stories):
    demo_delivery.delivered(stories)

    part = casts_part(case("FL-1031"))
    assert part.line == "2 impressions, 3 casts, 3 inspected; 1 jaw record"
    assert (part.done, part.word) == (True, "")
