"""What a calendar feed tells of which cases, and how its entries follow a change."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from threading import Barrier, Thread
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from labcases.domain import case as cases
from labcases.domain import feeds, queries, stages
from labcases.enums import AppointmentKind, AppointmentStatus, Stage
from labcases.enums.dates import Step
from labcases.enums.feeds import EntryStatus, FeedKind
from labcases.models import CalendarFeed, Case, FeedEntry
from tests.factories import world

pytestmark = pytest.mark.django_db

KINDS = list(FeedKind.values)


@pytest.fixture
def here():
    return world()


@pytest.fixture
def at(monkeypatch):
    """Set the clock to a moment."""

    def to(moment):
        monkeypatch.setattr("django.utils.timezone.now", lambda: moment)

    return to


def feed_of(user, kinds=KINDS, **more):
    return feeds.make(user=user, called="Phone", kinds=kinds, **more).feed


def told(feed):
    """What a fetch tells: what, day, status and number of changes."""
    return [(row.summary, row.on, row.status, row.sequence) for row in feeds.fetch(feed)]


def in_days(days):
    return timezone.localdate() + timedelta(days=days)


def book(here, case, kind=AppointmentKind.TRY_IN, days=20, **more):
    return cases.save_appointment(
        case=case,
        appointment=more.pop("appointment", None),
        version=more.pop("version", 0),
        by=here.farah,
        values={"kind": kind, "on": in_days(days), "status": "booked", "note": "Ada Quill", **more},
    )


def move_surgery(here, case, days):
    case.refresh_from_db()
    cases.set_surgery(case=case, on=in_days(days), by=here.dora, version=case.version)


# The token


def test_a_feed_is_found_by_its_token_until_it_is_stopped(here):
    made = feeds.make(user=here.farah, called="Phone", kinds=["surgery"])

    assert feeds.find(made.token) == made.feed
    assert made.token not in str(CalendarFeed.objects.values())
    assert len(made.token) >= 43  # 32 random bytes
    feeds.revoke(feed=made.feed)
    assert feeds.find(made.token) is None
    assert feeds.known(made.token)
    assert not feeds.known(f"{made.token}x")


def test_it_ends_after_twelve_months_where_nothing_else_is_said(here):
    made = feeds.make(user=here.farah, called="Phone", kinds=["surgery"])
    assert (made.feed.expires_at - timezone.now()).days == 364

    CalendarFeed.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    assert feeds.find(made.token) is None


def test_a_person_who_may_not_log_in_has_no_feed_from_the_next_fetch_on(here):
    made = feeds.make(user=here.farah, called="Phone", kinds=["surgery"])
    here.farah.is_active = False
    here.farah.save()

    assert feeds.find(made.token) is None


@pytest.mark.parametrize(
    ("kinds", "house", "words"),
    [
        ([], None, "Choose at least one kind of date."),
        (["birthdays"], None, "Choose at least one kind of date."),
        (["surgery"], "laboratory", "Choose one of your own houses, or all of them."),
    ],
)
def test_what_no_feed_is_made_of(here, kinds, house, words):
    with pytest.raises(ValueError, match=words):
        feeds.make(
            user=here.farah,
            called="Phone",
            kinds=kinds,
            organisation=house and getattr(here, house),
        )


def test_one_may_have_twenty_feeds(here):
    for _n in range(20):
        feed_of(here.farah)

    with pytest.raises(ValueError, match="You have 20 feeds"):
        feed_of(here.farah)
    feeds.revoke(feed=feeds.of(here.farah)[0])
    feed_of(here.farah)


# What it holds


def test_it_holds_code_and_day_and_nothing_that_somebody_typed(here):
    case = here.walk(patient_name="Ada Quill").case
    book(here, case)

    rows = feeds.fetch(feed_of(here.farah))

    text = " ".join(f"{row.uid} {row.summary}" for row in rows)
    assert "P-100" not in text
    assert "Quill" not in text
    code = f"{case.code[:4]}-{case.code[4:8]}-{case.code[8:]}"
    assert all(row.summary.startswith(f"{code} ") for row in rows)
    assert {row.summary[15:] for row in rows} == {
        "Surgery",
        "Try-in",
        "Latest day: the prescription and its box leave the office",
        "Latest day: master cast and rims begin",
        "Latest day: rims go to the office",
        "Latest day: records are back and the mounting begins",
        "Latest day: the set-up begins",
        "Latest day: the set-up goes to the office for the try-in",
        "Latest day: the anterior teeth are begun",
        "Latest day: the final wax begins",
        "Latest day: processing begins",
        "Latest day: the denture leaves the laboratory",
        "Latest day: the denture is at the office",
    }


def test_the_days_are_those_of_the_plan(here):
    case = here.walk().case
    found = {row.summary[15:]: row.on for row in feeds.fetch(feed_of(here.farah, ["latest days"]))}

    plan = {row.step: row.on for row in queries.plan_of(case) if not row.optional}
    assert found["Latest day: processing begins"] == plan[Step.PROCESSING]
    assert len(found) == len(plan)


@pytest.mark.parametrize(
    ("kind", "what"),
    [
        ("jaw records", "Jaw records"),
        ("try-in", "Try-in"),
        ("delivery", "Delivery to the office"),
        ("review", "Review"),
    ],
)
def test_only_the_kinds_that_were_chosen(here, kind, what):
    case = here.walk().case
    for n, one in enumerate(AppointmentKind):
        book(here, case, one, days=20 + n)

    assert [row[0][15:] for row in told(feed_of(here.lena, [kind]))] == [what]


def test_a_proposed_date_and_an_unconfirmed_surgery_are_tentative(here):
    case = here.walk().case
    proposed = book(here, case, status=AppointmentStatus.PROPOSED)
    feed = feed_of(here.farah, ["try-in", "surgery"])
    assert [row[2:] for row in told(feed)] == [("tentative", 0), ("tentative", 0)]

    book(here, case, appointment=proposed, version=proposed.version)
    assert [row[2:] for row in told(feed)] == [("confirmed", 1), ("tentative", 0)]


def test_a_review_that_is_due_stands_there_until_one_is_booked(here):
    case = here.walk().to(Stage.DELIVERED)
    feed = feed_of(here.farah, ["review"])
    (due,) = told(feed)
    assert due[0][15:].startswith("Review due: ")

    book(here, case, AppointmentKind.REVIEW, days=(due[1] - timezone.localdate()).days)

    assert {(row[0][15:], row[2]) for row in told(feed)} == {
        (due[0][15:], "cancelled"),
        ("Review", "confirmed"),
    }


# Whose cases


def test_only_cases_that_the_person_sees(here):
    here.walk()

    assert told(feed_of(here.olga)) == []
    assert told(feed_of(here.mona, ["surgery"])) != []


def test_one_house_of_several(here):
    here.walk()
    here.farah.memberships.create(organisation=here.other_office, role="front desk")

    assert len(told(feed_of(here.farah, ["surgery"], organisation=here.office))) == 1
    assert told(feed_of(here.farah, ["surgery"], organisation=here.other_office)) == []


def test_a_role_that_ends_cancels_what_it_showed(here):
    case = here.walk().case
    feed = feed_of(here.farah, ["surgery"], organisation=here.office)
    assert [row[2] for row in told(feed)] == ["tentative"]

    here.farah.memberships.update(active=False)
    assert [row[2] for row in told(feed)] == ["cancelled"]
    assert told(feed_of(here.farah, ["surgery"])) == []
    move_surgery(here, case, 80)
    assert [(row[1], row[2]) for row in told(feed)] == [(in_days(120), "cancelled")]


# What changes


def test_a_moved_surgery_keeps_its_uid_and_rises_by_one(here):
    case = here.walk().case
    feed = feed_of(here.farah, ["surgery"])
    (before,) = feeds.fetch(feed)
    assert told(feed)[0][1:] == (in_days(120), "tentative", 0)

    move_surgery(here, case, 127)
    (after,) = feeds.fetch(feed)

    assert (after.uid, after.on, after.sequence) == (before.uid, in_days(127), 1)
    assert after.uid == f"{case.code}-surgery-{case.pk}@case-tracker"
    assert told(feed) == told(feed)


def test_a_dropped_try_in_is_cancelled_for_thirty_days_and_another_is_another_entry(here, at):
    case = here.walk().case
    first = book(here, case)
    feed = feed_of(here.farah, ["try-in"])
    told(feed)

    book(here, case, appointment=first, version=first.version, status="dropped")
    book(here, case, days=25)

    assert [row[1:] for row in told(feed)] == [
        (in_days(20), "cancelled", 1),
        (in_days(25), "confirmed", 0),
    ]
    at(timezone.now() + timedelta(days=29))
    assert [row[2] for row in told(feed)] == ["cancelled", "confirmed"]
    at(timezone.now() + timedelta(days=2))
    assert [row[2] for row in told(feed)] == ["confirmed"]


def hold(here, case):
    return cases.hold(case=case, reason="ill", by=here.dora)


def cancel(here, case):
    stages.move(case=case, to=Stage.CANCELLED, by=here.dora, reason="Another denture.")


def die(here, case):
    Case.objects.filter(pk=case.pk).update(silent=True)


@pytest.mark.parametrize("stop", [hold, cancel, die])
def test_nothing_of_a_case_at_rest_is_told_but_that_it_is_cancelled(here, stop):
    walk = here.walk()
    book(here, walk.case)
    feed = feed_of(here.farah)
    assert {row[2] for row in told(feed)} == {"confirmed", "tentative"}

    stop(here, walk.reload())

    assert {row[2:] for row in told(feed)} == {("cancelled", 1)}
    assert told(feed_of(here.farah)) == []


def test_what_goes_on_again_stands_again_under_the_same_uid(here):
    case = here.walk().case
    feed = feed_of(here.farah, ["surgery"])
    uid = feeds.fetch(feed)[0].uid
    held = hold(here, case)
    told(feed)

    cases.resume(case=held, by=here.dora)

    (row,) = feeds.fetch(feed)
    assert (row.uid, row.status, row.sequence) == (uid, "tentative", 2)


def test_a_day_that_lies_a_month_back_leaves_the_feed_and_is_not_cancelled(here, at):
    here.walk(surgery_in_days=5)
    feed = feed_of(here.farah, ["surgery"])
    told(feed)

    at(timezone.now() + timedelta(days=35))
    assert [row[2:] for row in told(feed)] == [("tentative", 0)]
    at(timezone.now() + timedelta(days=1))
    assert told(feed) == []
    assert FeedEntry.objects.get().status == EntryStatus.TENTATIVE


@pytest.mark.parametrize("jump", [timedelta(hours=-2), timedelta(days=1), timedelta(days=365)])
def test_a_clock_that_jumps_moves_no_day_and_numbers_nothing_anew(here, at, jump):
    here.walk()
    feed = feed_of(here.farah)
    before = told(feed)
    now = timezone.now()

    at(now + jump)
    during = told(feed)
    at(now)

    assert [row for row in during if row[2] == "cancelled"] == []
    assert told(feed) == before


@pytest.mark.parametrize("zone", ["Etc/GMT-13", "Etc/GMT+8", "Australia/Lord_Howe"])
@pytest.mark.parametrize("day", [date(2027, 3, 28), date(2026, 11, 1), date(2027, 10, 31)])
def test_a_day_is_the_same_day_wherever_it_is_fetched_and_when_clocks_change(here, at, zone, day):
    case = here.walk().case
    Case.objects.filter(pk=case.pk).update(surgery_on=day)
    feed = feed_of(here.farah, ["surgery"])

    at(datetime(day.year, day.month, day.day, 1, 30, tzinfo=UTC))
    with timezone.override(ZoneInfo(zone)):
        assert [row[1] for row in told(feed)] == [day]


# Many cases, and two at once


def asked(feed):
    with CaptureQueriesContext(connection) as found:
        feeds.fetch(feed)
    return len(found)


def test_a_fetch_asks_the_same_number_of_questions_for_one_case_and_for_many(here):
    here.walk()
    feed = feed_of(here.mona)
    feeds.fetch(feed)
    one = asked(feed)
    assert one <= 20
    for n in range(12):
        book(here, here.walk(patient_code=f"P-2{n:02}").case)
    feeds.fetch(feed)

    assert asked(feed) == one


@pytest.mark.django_db(transaction=True)
@pytest.mark.both_databases
def test_two_that_fetch_at_once_count_a_change_once(here):
    case = here.walk().case
    feed = feed_of(here.farah)
    feeds.fetch(feed)
    move_surgery(here, case, 127)
    together, found = Barrier(2), []

    def fetch():
        together.wait()
        found.append({row.uid: row.sequence for row in feeds.fetch(feed)})
        connection.close()

    threads = [Thread(target=fetch) for _n in range(2)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()

    assert found[0] == found[1]
    assert set(found[0].values()) == {1}
