"""When a box should be there, by the open days of the house that takes it in."""

from __future__ import annotations

from datetime import date, timedelta

from labcases.domain import calendars, open_days
from labcases.models import Box


def expected_on(box: Box) -> date | None:
    """The receiver's open day by which a sent box should be there."""
    if box.sent_at is None:
        return None
    left = calendars.day_in(box.receiver, max(box.sent_at, box.turned_up_at or box.sent_at))
    receiver = calendars.calendar_of(box.receiver).whole()
    days = calendars.road_days(box.case)
    # The same day counts where it is an open one: the day before is the day that it left on.
    return open_days.ahead(left - timedelta(days=not days), days or 1, receiver)


def overdue_days(box: Box, today: date | None = None) -> int:
    """Open days of the receiver since a box should have been taken in.

    0 when it was, for a box that is reported as lost or as not ours, and while the case is on
    hold: nothing of it is due then.
    """
    expected = expected_on(box)
    if expected is None or box.received_at or box.trouble or box.case.on_hold:
        return 0
    receiver = calendars.calendar_of(box.receiver).whole()
    day = today or calendars.today_of(box.receiver)
    return max(0, open_days.working_days_between(expected, day, receiver))
