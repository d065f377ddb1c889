"""Calendar feed as text: RFC 5545, written by the icalendar library, which folds and escapes.

Days are days: DTSTART and DTEND are dates without a time or a zone, and DTEND is the day after
(RFC 5545, 3.6.1: the end of a whole-day event is not part of it). No METHOD stands in the file,
so DTSTAMP is the time of the last change (3.8.7.2).
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from icalendar import Calendar, Event

from labcases.models import FeedEntry

PRODUCT = "-//Case tracker for immediate dentures//Calendar feed//EN"
REFRESH = timedelta(hours=1)
CONTENT_TYPE = "text/calendar; charset=utf-8"


def written(entries: Iterable[FeedEntry]) -> bytes:
    """A calendar with an event for each entry."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("x-wr-calname", "Case tracker")
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    for row in entries:
        calendar.add_component(_event(row))
    return bytes(calendar.to_ical())


def _event(row: FeedEntry) -> Event:
    event = Event()
    event.add("uid", row.uid)
    event.add("dtstamp", row.changed_at)
    event.add("last-modified", row.changed_at)
    event.add("sequence", row.sequence)
    event.add("status", row.status.upper())
    event.add("summary", row.summary)
    event.add("dtstart", row.on)
    event.add("dtend", row.on + timedelta(days=1))
    event.add("transp", "TRANSPARENT")
    event.add("class", "PRIVATE")
    return event
