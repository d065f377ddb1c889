"""The surgery moves by a week: looked at, moved, seen over there, in the feed, mailed once."""

from __future__ import annotations

import re
from datetime import date, timedelta

import icalendar
import pytest
from django.core import mail
from django.core.management import call_command

from labcases.domain import calendars
from labcases.enums import Stage
from labcases.models import Case, User
from labcases.templatetags.units import due_date, long_date
from tests import needs
from tests.factories import world
from tests.journeys.people import Person

pytestmark = [needs.chromium, pytest.mark.django_db(transaction=True)]


def surgery_of(lena: Person, link: str) -> icalendar.Event:
    """The surgery in a feed, as a calendar fetches it."""
    answer = lena.page.request.get(link)
    assert answer.status == 200
    events = icalendar.Calendar.from_ical(answer.text()).walk("VEVENT")
    return next(event for event in events if "urgery" in str(event["SUMMARY"]))


def test_a_surgery_moved_by_a_week_reaches_everybody_once(live_server, browser, settings):
    settings.DIGEST_HOUR = 0
    here = world()
    for house, by in ((here.office, here.dora), (here.laboratory, here.mona)):
        calendars.set_week(organisation=house, weekdays=range(1, 8), by=by)
    User.objects.filter(username="lena").update(email="lena@laboratory.example")
    case = here.case_at(Stage.FINAL_WAX)
    before: date = case.surgery_on
    after = before + timedelta(days=7)
    farah, lena, dora = (
        Person(browser, live_server.url, name) for name in ("farah", "lena", "dora")
    )

    lena.open("/calendar-feeds/")
    lena.fill({"feed_name": "Phone"})
    lena.press("Make the feed")
    link = re.search(r"http\S+\.ics", lena.page.content()).group().replace("&amp;", "&")
    first = surgery_of(lena, link)
    assert first["DTSTART"].dt == before

    # Looked at: every effect is shown and nothing is moved.
    farah.open(f"/cases/{case.code}/dates/")
    farah.fill({"surgery_on": long_date(after)})
    farah.press("Show what another day changes")
    assert f"This is what {day(after)} would change; nothing is moved yet." in farah.text
    assert "The outcome of the try-in stays." in farah.text
    assert Case.objects.get(pk=case.pk).surgery_on == before

    # Moved, by one act; both desks see it.
    farah.page.get_by_role("button", name=re.compile("Move the surgery to")).click()
    assert Case.objects.get(pk=case.pk).surgery_on == after
    farah.open("/desk/")
    assert f"The dentist has not confirmed {day(after)}." in farah.text
    lena.open("/desk/")
    moved = f"Surgery moved from {day(before)} to {day(after)}, by Farah"
    assert moved in lena.text

    # The feed has the same entry on the new day.
    second = surgery_of(lena, link)
    assert (second["UID"], second["DTSTART"].dt) == (first["UID"], after)
    assert int(second["SEQUENCE"]) == int(first["SEQUENCE"]) + 1

    # The reminder goes out once.
    call_command("remind")
    call_command("remind")
    assert [one.to for one in mail.outbox] == [["lena@laboratory.example"]]
    told = mail.outbox[0].body.replace("\N{NO-BREAK SPACE}", " ")
    assert f"Surgery moved from {day(before)} to {day(after)}." in told
    assert "P-100" not in told

    # Seen, and confirmed.
    lena.open(f"/cases/{case.code}/dates/")
    lena.press("Seen")
    lena.open("/desk/")
    assert moved not in lena.text
    dora.open(f"/cases/{case.code}/dates/")
    assert "Seen by Lena" in dora.text
    dora.page.get_by_role("button", name=re.compile("^Confirm ")).click()
    assert "The surgery day is confirmed." in dora.text
    assert [one.complaints for one in (farah, lena, dora)] == [[], [], []]


def day(on: date) -> str:
    """As a page says a day that something is due on, with plain blanks."""
    return due_date(on).replace("\N{NO-BREAK SPACE}", " ")
