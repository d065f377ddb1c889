"""A calendar feed as text: held against lines typed by hand, and read by another library."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
import vobject

from labcases.models import FeedEntry
from labcases.outputs import calendar_file

CHANGED = datetime(2027, 3, 1, 8, 30, tzinfo=UTC)


def entry(**more):
    told = {
        "uid": "7Q2K9A3BC4DH-surgery-12@case-tracker",
        "kind": "surgery",
        "summary": "7Q2K-9A3B-C4DH Surgery",
        "on": date(2027, 3, 12),
        "status": "confirmed",
        "sequence": 0,
        "changed_at": CHANGED,
    }
    return FeedEntry(**{**told, **more})


def read(*entries):
    """The events as the other library reads them."""
    return vobject.readOne(calendar_file.written(entries).decode()).vevent_list


def test_every_line_of_one_entry():
    assert calendar_file.written([entry()]).decode().split("\r\n") == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Case tracker for immediate dentures//Calendar feed//EN",
        "CALSCALE:GREGORIAN",
        "X-WR-CALNAME:Case tracker",
        "REFRESH-INTERVAL;VALUE=DURATION:PT1H",
        "BEGIN:VEVENT",
        "SUMMARY:7Q2K-9A3B-C4DH Surgery",
        "DTSTART;VALUE=DATE:20270312",
        "DTEND;VALUE=DATE:20270313",
        "DTSTAMP:20270301T083000Z",
        "UID:7Q2K9A3BC4DH-surgery-12@case-tracker",
        "SEQUENCE:0",
        "CLASS:PRIVATE",
        "LAST-MODIFIED:20270301T083000Z",
        "STATUS:CONFIRMED",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
        "END:VCALENDAR",
        "",
    ]


def test_an_event_is_read_back_as_it_was_told():
    (event,) = read(entry(sequence=3, status="cancelled"))

    assert event.uid.value == "7Q2K9A3BC4DH-surgery-12@case-tracker"
    assert event.dtstart.value == date(2027, 3, 12)
    assert event.dtend.value == date(2027, 3, 13)
    assert event.status.value == "CANCELLED"
    assert event.sequence.value == "3"
    assert event.dtstamp.value == CHANGED
    assert event.last_modified.value == CHANGED
    assert set(event.contents) == {
        *("uid", "dtstamp", "last-modified", "sequence", "status", "summary"),
        *("dtstart", "dtend", "transp", "class"),
    }


@pytest.mark.parametrize(
    ("day", "after"),
    [
        # Days on which clocks change in Berlin, New York and on Lord Howe; the end of a year,
        # and of a February.
        ("20270328", "20270329"),
        ("20271031", "20271101"),
        ("20261101", "20261102"),
        ("20270404", "20270405"),
        ("20261231", "20270101"),
        ("20280228", "20280229"),
    ],
)
def test_a_day_lasts_until_the_next_one_also_when_clocks_change(day, after):
    on = datetime.strptime(day, "%Y%m%d").replace(tzinfo=UTC).date()
    text = calendar_file.written([entry(on=on)]).decode()

    assert f"\r\nDTSTART;VALUE=DATE:{day}\r\nDTEND;VALUE=DATE:{after}\r\n" in text


def test_every_day_of_ten_years_is_read_back():
    days = [date(2026, 1, 1) + timedelta(days=n) for n in range(3653)]
    events = read(*(entry(on=day, uid=f"{day}@case-tracker") for day in days))

    assert [one.dtstart.value for one in events] == days
    assert {one.dtend.value - one.dtstart.value for one in events} == {timedelta(days=1)}


def test_long_lines_are_folded_and_signs_escaped():
    words = "Latest day: " + "a\\b;c,d " * 20
    text = calendar_file.written([entry(summary=words)])

    assert all(len(line) <= 75 for line in text.split(b"\r\n"))
    assert b"a\\\\b\\;c\\,d" in text
    assert read(entry(summary=words))[0].summary.value == words


def test_a_word_with_a_line_break_begins_no_line_of_its_own():
    text = calendar_file.written([entry(summary="Surgery\r\nATTENDEE:mailto:x@example.org")])

    assert b"\r\nATTENDEE" not in text
    assert "attendee" not in read(entry(summary="Surgery\nATTENDEE:x"))[0].contents


def test_letters_of_two_bytes_are_not_cut():
    summary = "Wachsanprobe für Käthe " * 8
    text = calendar_file.written([entry(summary=summary)])

    assert all(len(line) <= 75 for line in text.split(b"\r\n"))
    assert read(entry(summary=summary))[0].summary.value == summary


def test_without_an_entry_it_is_still_a_calendar():
    text = calendar_file.written([]).decode()

    assert text.startswith("BEGIN:VCALENDAR\r\n")
    assert text.endswith("END:VCALENDAR\r\n")
    assert "VEVENT" not in text
