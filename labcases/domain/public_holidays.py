"""Public holidays of a house: its list, where it works all the same, single days between."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from datetime import date, timedelta

from django.db import transaction

from labcases.domain import calendars
from labcases.domain.open_days import Calendar
from labcases.enums import HouseDayKind
from labcases.models import HouseDay, Organisation, User
from labcases.reference import holidays
from labcases.reference.holidays import Region

SHOWN_DAYS = 365
"""The page looks a year ahead."""

BRIDGE = "Bridge day"

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Holiday:
    """A public holiday: whether the house would be open by its week, and who opens it."""

    on: date
    words: str
    of_week: bool
    row: HouseDay | None

    @property
    def opened(self) -> bool:
        return self.row is not None and self.row.kind != HouseDayKind.CLOSED


@dataclass(frozen=True)
class Bridge:
    """A single working day with a closed day on either side, each in words."""

    on: date
    before: str
    after: str


def region_of(organisation: Organisation) -> Region | None:
    return holidays.regions().get(organisation.holiday_region)


def set_region(*, organisation: Organisation, region: str, by: User) -> Organisation:
    """Say whose public holidays a house keeps; an empty key stands for none.

    Raises
    ------
    ValueError
        There is no such list.
    """
    if region and region not in holidays.regions():
        raise ValueError("There is no such list of public holidays. Choose one that is offered.")
    before = _words(organisation)
    with transaction.atomic():
        organisation.holiday_region = region
        organisation.save(update_fields=["holiday_region"])
        calendars.say(organisation, by, {"public holidays": [before, _words(organisation)]})
    log.info("person %s set the holidays of organisation %s", by.pk, organisation.pk)
    return organisation


def _words(organisation: Organisation) -> str:
    region = region_of(organisation)
    return region.full_words if region else ""


def ahead(organisation: Organisation, today: date) -> list[Holiday]:
    """The public holidays of the next twelve months."""
    rows = {row.on: row for row in organisation.days.select_related("by")}
    weekdays = calendars.calendar_of(organisation).weekdays
    found = holidays.between(organisation.holiday_region, today, today + timedelta(days=SHOWN_DAYS))
    return [
        Holiday(day, words, day.isoweekday() in weekdays, rows.get(day))
        for day, words in found.items()
    ]


def rules_only_from(organisation: Organisation, until: date) -> date | None:
    """From when on days proclaimed for one year are not in the list; nothing before a day."""
    region = region_of(organisation)
    first = date(region.last + 1, 1, 1) if region else None
    return first if first and first <= until else None


def open_all_the_same(*, organisation: Organisation, on: date, by: User) -> HouseDay:
    """Work on a public holiday.

    Raises
    ------
    ValueError
        The day is no public holiday of the house, or its week is closed on it.
    """
    words = holidays.name_on(organisation.holiday_region, on)
    if not words:
        raise ValueError("That day is no public holiday of this house. Choose one of the list.")
    if on.isoweekday() not in calendars.calendar_of(organisation).weekdays:
        weekday = calendars.WEEKDAYS[on.weekday()]
        raise ValueError(f"It is a {weekday}, on which this house is not open. Set the week first.")
    with transaction.atomic():
        row, _made = HouseDay.objects.update_or_create(
            organisation=organisation,
            on=on,
            defaults={"kind": HouseDayKind.OPEN, "reason": words[:80], "by": by},
        )
        words = f"{row.get_kind_display()}, {row.reason}"
        calendars.say(organisation, by, {words: ["", str(on)]})
    log.info("person %s opened organisation %s on a holiday", by.pk, organisation.pk)
    return row


# --- bridge days -------------------------------------------------------------------------------


def bridges(organisation: Organisation, today: date) -> list[Bridge]:
    """Single working days of the next twelve months between a holiday and another closed day.

    They are proposed, never closed by themselves.
    """
    calendar = calendars.calendar_of(organisation)
    reasons = {row.on: row.reason for row in organisation.days.all()}
    found = []
    for n in range(1, SHOWN_DAYS + 1):
        day = today + timedelta(days=n)
        sides = [day - timedelta(days=1), day + timedelta(days=1)]
        if not calendar.is_open(day) or any(calendar.is_open(side) for side in sides):
            continue
        if any(_public(calendar, side) for side in sides):
            before, after = (_why_closed(calendar, reasons, side) for side in sides)
            found.append(Bridge(day, before, after))
    return found


def _public(calendar: Calendar, day: date) -> bool:
    """A public holiday on a day on which the house would be open by its week."""
    return day.isoweekday() in calendar.weekdays and bool(calendar.holiday(day))


def _why_closed(calendar: Calendar, reasons: dict[date, str], day: date) -> str:
    weekday = calendars.WEEKDAYS[day.weekday()]
    if day.isoweekday() not in calendar.weekdays:
        return weekday
    return calendar.holiday(day) or reasons.get(day, weekday)
