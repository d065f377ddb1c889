"""When a house is open, which day it is there, and how long a box is on the road between two.

``calendar_of`` is the one place that knows when a house is open, ``today_of`` which day it is.
"""

from __future__ import annotations

import logging
from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date, datetime, time, timedelta, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from django.db import transaction
from django.db.models import prefetch_related_objects
from django.utils import timezone

from labcases.domain import access, house_history
from labcases.domain.open_days import Calendar
from labcases.enums import HouseDayKind, Side
from labcases.models import Case, HouseDay, OfficeLink, Organisation, User
from labcases.templatetags.units import long_date

ROAD_DAYS = 1
"""Open days on the road where nobody said otherwise (common practice, no source)."""

MOST_ROAD_DAYS = 20
MOST_CLOSED_AT_ONCE = 60

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

# Who changed when a house is open: numbers only, names stand in the database.
log = logging.getLogger(__name__)


def calendar_of(organisation: Organisation) -> Calendar:
    days: dict[str, set[date]] = defaultdict(set)
    for row in organisation.days.all():
        days[row.kind].add(row.on)
    return Calendar(
        weekdays=frozenset(int(number) for number in organisation.open_weekdays),
        closed=frozenset(days[HouseDayKind.CLOSED]),
        region=organisation.holiday_region,
        opened=frozenset(days[HouseDayKind.OPEN]),
        half_weekdays=frozenset(int(number) for number in organisation.half_weekdays),
        half=frozenset(days[HouseDayKind.HALF]),
    )


def zone_of(organisation: Organisation) -> tzinfo:
    """The zone of a house; the server's where none is entered or its name is known no more."""
    try:
        return ZoneInfo(organisation.time_zone) if organisation.time_zone else _server()
    except (ZoneInfoNotFoundError, ValueError):
        log.warning("organisation %s has an unknown time zone", organisation.pk)
        return _server()


def _server() -> tzinfo:
    return timezone.get_default_timezone()


def today_of(organisation: Organisation) -> date:
    """Which day it is in a house."""
    return day_in(organisation, timezone.now()) if organisation.time_zone else timezone.localdate()


def day_in(organisation: Organisation, moment: datetime) -> date:
    """The day on which a moment falls in a house."""
    return timezone.localdate(moment, zone_of(organisation))


def zone_words(case: Case) -> str:
    """Whose days the dates of a case are; nothing where both houses live by the same clock.

    It is the office's zone, since the surgery is there.
    """
    zone = zone_of(case.office)
    if str(zone) == str(zone_of(case.laboratory)):
        return ""
    return f"Dates of this case are those of {case.office} ({zone})."


def set_zone(*, organisation: Organisation, zone: str, by: User) -> Organisation:
    """Say in which time zone a house is; empty for the server's.

    Raises
    ------
    ValueError
        There is no zone of this name.
    """
    if zone and zone not in available_timezones():
        raise ValueError(f'There is no time zone "{zone}". Choose one that is offered.')
    before = organisation.time_zone
    with transaction.atomic():
        organisation.time_zone = zone
        organisation.save(update_fields=["time_zone"])
        say(organisation, by, {"time zone": [before, zone]})
    log.info("person %s set the time zone of organisation %s", by.pk, organisation.pk)
    return organisation


def fetch(cases: Iterable[Case], houses: Iterable[Organisation] = ()) -> None:
    """Fetch when the houses of all these cases are open, by one question to the database."""
    of_cases = [house for case in cases for house in (case.office, case.laboratory)]
    prefetch_related_objects([*of_cases, *houses], "days")


def fetch_road(case: Case) -> None:
    """Fetch how far the houses of a case are apart, once for all its boxes."""
    prefetch_related_objects([case.office], "laboratory_links")


def is_open(organisation: Organisation, day: date) -> bool:
    return calendar_of(organisation).is_open(day)


def may_keep(user: User, organisation: Organisation) -> bool:
    """A laboratory's manager and an office's dentist say when their house is open."""
    return access.may_in(user, "keep the calendar", organisation)


def week_words(organisation: Organisation) -> str:
    """Monday to Friday, Friday for half the day; days that are not in a row one by one."""
    words = _weekday_words(organisation.open_weekdays)
    half = _weekday_words(organisation.half_weekdays)
    return f"{words}, {half} for half the day" if half else words


def _weekday_words(weekdays: str) -> str:
    numbers = sorted(int(number) for number in weekdays)
    names = [WEEKDAYS[number - 1] for number in numbers]
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{names[0]} to {names[-1]}"
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)


def set_week(
    *,
    organisation: Organisation,
    weekdays: Collection[int],
    by: User,
    half: Collection[int] = (),
) -> Organisation:
    """Say on which weekdays a house is open, and on which of them for half the day.

    Raises
    ------
    ValueError
        It would never be open, there is no such weekday, or it is closed on a half one.
    """
    wanted, halves = sorted(set(weekdays)), sorted(set(half))
    if not wanted or not set(wanted) <= set(range(1, 8)):
        raise ValueError("Choose at least one weekday on which the house is open.")
    if not set(halves) <= set(wanted):
        raise ValueError("Choose half days among the weekdays on which the house is open.")
    before = week_words(organisation)
    with transaction.atomic():
        organisation.open_weekdays = "".join(str(number) for number in wanted)
        organisation.half_weekdays = "".join(str(number) for number in halves)
        organisation.save(update_fields=["open_weekdays", "half_weekdays"])
        say(organisation, by, {"open": [before, week_words(organisation)]})
    log.info("person %s set the week of organisation %s", by.pk, organisation.pk)
    return organisation


def set_hours(
    *, organisation: Organisation, opens: time | None, closes: time | None, by: User
) -> Organisation:
    """Say from when to when a house is open on its open days, or that it is not entered.

    Raises
    ------
    ValueError
        Only one end is given, or it closes before it opens.
    """
    if (opens is None) != (closes is None):
        raise ValueError("Enter both when it opens and when it closes, or neither.")
    if opens and closes and closes <= opens:
        raise ValueError(
            f"It cannot close at {closes:%H:%M} when it opens at {opens:%H:%M}. Check both times."
        )
    before = hours_words(organisation)
    with transaction.atomic():
        organisation.opens_at, organisation.closes_at = opens, closes
        organisation.save(update_fields=["opens_at", "closes_at"])
        say(organisation, by, {"hours": [before, hours_words(organisation)]})
    log.info("person %s set the hours of organisation %s", by.pk, organisation.pk)
    return organisation


def hours_words(organisation: Organisation) -> str:
    """08:00 to 16:00; nothing where the hours are not entered."""
    opens, closes = organisation.opens_at, organisation.closes_at
    return f"{opens:%H:%M} to {closes:%H:%M}" if opens and closes else ""


def close(
    *,
    organisation: Organisation,
    first: date,
    last: date | None,
    reason: str,
    by: User,
    kind: HouseDayKind = HouseDayKind.CLOSED,
) -> list[date]:
    """Close a house for a day or a span of days; days that were closed before stay as they are.

    A public holiday on which it would have worked all the same is closed as well. With ``HALF`` it
    is open for half of each day.

    Returns
    -------
    list of date
        The days that are closed now and were not before.

    Raises
    ------
    ValueError
        The span ends before it begins, is longer than two months, or a half day is a public
        holiday on which the house is closed: it would open then.
    """
    last = last or first
    if last < first:
        raise ValueError("The last day lies before the first. Check both days.")
    if (last - first).days >= MOST_CLOSED_AT_ONCE:
        raise ValueError(f"Close at most {MOST_CLOSED_AT_ONCE} days at once.")
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    if kind == HouseDayKind.HALF:
        _refuse_closed_holidays(organisation, days)
    with transaction.atomic():
        named = organisation.days.filter(on__in=days)
        named.exclude(kind=kind).delete()
        before = set(named.values_list("on", flat=True))
        new = [day for day in days if day not in before]
        HouseDay.objects.bulk_create(
            [
                HouseDay(organisation=organisation, on=day, kind=kind, reason=reason, by=by)
                for day in new
            ],
            # Somebody may have closed one of them a moment ago.
            ignore_conflicts=True,
        )
        if new:
            span = f"{new[0]} to {new[-1]}" if len(new) > 1 else str(new[0])
            say(organisation, by, {f"{kind.label}, {reason}": ["", span]})
    log.info("person %s closed organisation %s on %s days", by.pk, organisation.pk, len(new))
    return new


def _refuse_closed_holidays(organisation: Organisation, days: Iterable[date]) -> None:
    """No half of a day on which the house keeps a public holiday."""
    calendar = calendar_of(organisation)
    for day in days:
        words = calendar.holiday(day)
        if words and day.isoweekday() in calendar.weekdays and not calendar.is_open(day):
            raise ValueError(
                f"{long_date(day)} is a public holiday ({words}), closed all day. To work half of "
                "it, open it first."
            )


def reopen(*, row: HouseDay, by: User) -> None:
    """Take a day out of the calendar: what the week and the list of holidays say holds again."""
    log.info("person %s took a day out of organisation %s", by.pk, row.organisation_id)
    with transaction.atomic():
        row.delete()
        say(row.organisation, by, {f"{row.get_kind_display()}, {row.reason}": [str(row.on), ""]})


def say(house: Organisation, by: User, changes: dict[str, list[str]]) -> None:
    """Write into the history of a house what differs now."""
    found = {words: pair for words, pair in changes.items() if pair[0] != pair[1]}
    if found:
        house_history.enter(
            organisation=house, by=by, act="changed", part="calendar", changes=found
        )


def sides_of(user: User, link: OfficeLink) -> list[Side]:
    """The sides of a link on which a person keeps the calendar."""
    houses = ((Side.OFFICE, link.office), (Side.LABORATORY, link.laboratory))
    return [side for side, house in houses if may_keep(user, house)]


def set_road(*, link: OfficeLink, days: int, side: Side, by: User) -> OfficeLink:
    """Say how many open days of the receiver a box is on the road; both sides read who said it."""
    before = link.road_days
    with transaction.atomic():
        link.road_days = days
        link.road_set_side = side
        link.road_set_by = by
        link.save(update_fields=["road_days", "road_set_side", "road_set_by"])
        for house, other in ((link.office, link.laboratory), (link.laboratory, link.office)):
            say(house, by, {f"days on the road to {other}": [str(before), str(days)]})
    log.info("person %s set the road days of office link %s", by.pk, link.pk)
    return link


def road_days(case: Case) -> int:
    """Days on the road between the two houses of a case, also where their link has ended."""
    if hasattr(case, "road_days"):
        return ROAD_DAYS if case.road_days is None else int(case.road_days)
    for link in case.office.laboratory_links.all():
        if link.laboratory_id == case.laboratory_id:
            return link.road_days
    return ROAD_DAYS
