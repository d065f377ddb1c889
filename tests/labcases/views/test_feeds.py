"""The page of one's calendar feeds, and the file behind their addresses."""

from __future__ import annotations

import logging
import re
from datetime import timedelta

import pytest
import vobject
from axes.models import AccessAttempt
from django.test import Client
from django.utils import timezone

from labcases.domain import case as cases
from labcases.domain import feeds
from labcases.logs import OneTimeLinks
from labcases.models import CalendarFeed, FeedEntry
from tests.factories import world

pytestmark = pytest.mark.django_db

PAGE = "/calendar-feeds/"


@pytest.fixture
def here():
    return world()


def signed_in(user):
    browser = Client()
    browser.force_login(user)
    return browser


def ask_for(user, **more):
    typed = {
        "feed_name": "Phone",
        "feed_kinds": ["surgery", "try-in"],
        "feed_house": "all",
        "feed_months": "12",
    }
    return signed_in(user).post(PAGE, {**typed, **more})


def text(answer):
    return answer.content.decode()


def address(user, **more):
    """The address that the page shows once."""
    return re.search(r'value="http://testserver(/feeds/[\w-]+\.ics)"', text(ask_for(user, **more)))[
        1
    ]


def events(answer):
    return vobject.readOne(text(answer)).contents.get("vevent", [])


def test_a_feed_is_made_shown_once_and_fetched_without_a_login(here):
    here.walk()
    link = address(here.farah)

    assert link not in text(signed_in(here.farah).get(PAGE))
    answer = Client().get(link)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert "no-store" in answer.headers["Cache-Control"]
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert "Set-Cookie" not in answer.headers
    assert [one.summary.value[15:] for one in events(answer)] == ["Surgery"]
    assert Client().head(link).status_code == 200
    assert Client().post(link).status_code == 405


def test_the_page_says_when_it_was_fetched_and_when_it_ends(here):
    link = address(here.farah, feed_months="3")
    assert "never" in text(signed_in(here.farah).get(PAGE))
    Client().get(link)

    shown = text(signed_in(here.farah).get(PAGE))
    assert "Phone" in shown
    assert "Surgery" in shown
    assert "never" not in shown
    ends = CalendarFeed.objects.get().expires_at
    assert (ends - timezone.now()).days == 90


def test_what_is_typed_stays_where_something_is_missing(here):
    answer = ask_for(here.farah, feed_name="", feed_kinds=["review"])

    assert answer.status_code == 422
    assert "Enter a name, so that you know later which one to stop." in text(answer)
    assert re.search(r'value="review"[^>]*checked', text(answer))
    assert not CalendarFeed.objects.exists()


def test_the_house_of_others_is_no_choice(here):
    answer = ask_for(here.farah, feed_house=str(here.laboratory.pk))

    assert answer.status_code == 422
    assert not CalendarFeed.objects.exists()


def test_a_feed_is_stopped_by_its_own_person_only(here):
    here.walk()
    link = address(here.farah)
    stop = f"/calendar-feeds/{CalendarFeed.objects.get().pk}/stop/"

    assert signed_in(here.dora).post(stop).status_code == 404
    assert Client().get(link).status_code == 200
    assert signed_in(here.farah).get(stop).status_code == 200
    assert signed_in(here.farah).post(stop).status_code == 302
    assert Client().get(link).status_code == 404
    assert "You have no feed yet" in text(signed_in(here.farah).get(PAGE))
    assert signed_in(here.farah).post(stop).status_code == 404


def test_wrong_stopped_and_expired_are_answered_alike(here):
    wrong = Client().get(f"/feeds/{'x' * 43}.ics")
    gone, ended = address(here.farah), address(here.farah)
    rows = {row.pk: row for row in CalendarFeed.objects.all()}
    feeds.revoke(feed=rows[min(rows)])
    CalendarFeed.objects.filter(pk=max(rows)).update(
        expires_at=timezone.now() - timedelta(seconds=1)
    )

    for link in (gone, ended):
        answer = Client().get(link)
        assert answer.status_code == wrong.status_code == 404
        assert answer.content == wrong.content
        assert {**answer.headers, "X-Request-ID": ""} == {**wrong.headers, "X-Request-ID": ""}


def test_a_token_opens_one_feed_and_no_page(here):
    case = here.walk().case
    Client().get(address(here.farah))

    token = address(here.farah).removeprefix("/feeds/").removesuffix(".ics")
    assert Client().get(f"/cases/{case.code}/", {"token": token}).status_code == 302
    assert events(Client().get(address(here.olga))) == []


def test_nothing_of_a_patient_stands_in_a_feed(here):
    case = here.walk(patient_name="Ada Quill").case
    cases.save_appointment(
        case=case,
        appointment=None,
        version=0,
        by=here.farah,
        values={
            "kind": "try-in",
            "on": timezone.localdate(),
            "status": "booked",
            "note": "Ada Quill, P-100",
        },
    )
    answer = Client().get(address(here.farah))

    assert len(events(answer)) == 2
    for word in ("P-100", "Ada", "Quill", "Ferry Street", "Farah", "Dora"):
        assert word not in text(answer)


def test_guesses_are_counted_and_then_told_to_wait(here, settings):
    settings.AXES_ENABLED = True
    good = address(here.farah)
    browser = Client(REMOTE_ADDR="192.0.2.7")
    statuses = [browser.get(f"/feeds/guess-{n:037}.ics").status_code for n in range(30)]

    assert statuses == [404] * 10 + [429] * 20
    told = browser.get(good)
    assert told.status_code == 429
    assert told.headers["Retry-After"] == "900"
    assert Client(REMOTE_ADDR="192.0.2.8").get(good).status_code == 200
    # Nobody who logs in from there is kept out by it.
    assert browser.get("/login/").status_code == 200
    assert "guess-" not in str(AccessAttempt.objects.values())


def test_a_stopped_feed_that_is_fetched_on_and_on_locks_nobody_out(here, settings):
    settings.AXES_ENABLED = True
    gone, good = address(here.farah), address(here.dora)
    feeds.revoke(feed=CalendarFeed.objects.get(user=here.farah))

    assert {Client().get(gone).status_code for _n in range(15)} == {404}
    assert Client().get(good).status_code == 200


def test_a_token_stands_in_no_log(here, caplog):
    link = address(here.farah)
    with caplog.at_level(logging.DEBUG):
        Client().get(link)
        Client().get(f"/feeds/{'g' * 43}.ics")

    # What stands before every handler that the settings name.
    for record in caplog.records:
        OneTimeLinks().filter(record)
    lines = [record.getMessage() for record in caplog.records]
    assert any("/feeds/..." in line for line in lines)
    assert [line for line in lines if link in line or "g" * 43 in line] == []


def test_a_second_fetch_writes_nothing(here):
    here.walk()
    link = address(here.farah)
    Client().get(link)
    before = list(FeedEntry.objects.values()), list(CalendarFeed.objects.values())

    Client().get(link)

    assert (list(FeedEntry.objects.values()), list(CalendarFeed.objects.values())) == before
