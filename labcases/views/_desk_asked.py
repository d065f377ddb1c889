"""What the address of the desk asks for: a week, a month or a day, one list, one office."""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpRequest
from django.urls import reverse
from django.utils.http import urlencode

from labcases.domain.desk_lists import PER_PAGE, SHOWN_IN_LIST, SHOWN_ON_DAY, UNREAD
from labcases.enums.desk import DeskSection
from labcases.forms.dates import EARLIEST_YEAR, LATEST_YEAR, read_date
from labcases.models import Organisation

WEEK = 7
SHOWN_IN_MONTH = 3
MOST_PAGES = 2000
INCIDENTS, COMPLAINTS = "incidents", "complaints"
OTHERS = (INCIDENTS, COMPLAINTS, UNREAD)
SHOWN = (*(section.value for section in DeskSection), *OTHERS)


@dataclass(frozen=True)
class Wanted:
    """A page of the desk, and the addresses of others with the same filters.

    ``span_of`` is week, month or day; ``on`` the day that was named, or today.
    """

    today: date
    on: date
    span_of: str = "week"
    show: str = ""
    office: Organisation | None = None
    page: int = 1
    refusal: str = ""

    @property
    def start(self) -> date:
        if self.span_of == "day":
            return self.on
        if self.span_of == "month":
            return self.on.replace(day=1)
        return self.on - timedelta(days=self.on.weekday())

    @property
    def days(self) -> int:
        if self.span_of == "month":
            return calendar.monthrange(self.on.year, self.on.month)[1]
        return 1 if self.span_of == "day" else WEEK

    @property
    def end(self) -> date:
        return self.start + timedelta(days=self.days - 1)

    @property
    def span(self) -> list[date]:
        return [self.start + timedelta(days=number) for number in range(self.days)]

    @property
    def on_day(self) -> int:
        return SHOWN_IN_MONTH if self.span_of == "month" else SHOWN_ON_DAY

    @property
    def most(self) -> int:
        return PER_PAGE if self.show else SHOWN_IN_LIST

    @property
    def skip(self) -> int:
        return (self.page - 1) * PER_PAGE if self.show else 0

    @property
    def is_month(self) -> bool:
        return self.span_of == "month"

    @property
    def title(self) -> str:
        return "Desk"

    @property
    def span_title(self) -> str:
        if self.is_month:
            return f"{calendar.month_name[self.on.month]} {self.on.year}"
        return f"Week {self.start.isocalendar().week}"

    @property
    def is_now(self) -> bool:
        return self.start <= self.today <= self.end

    def url(self, **changes: Any) -> str:
        """The same filters, with something else in place of the span, the list or the page."""
        asked: dict[str, Any] = {}
        if not changes.keys() & {"week", "month", "from"} and self.on != self.today:
            asked |= self._span_asked()
        if self.show:
            asked["show"] = self.show
        if self.office:
            asked["office"] = self.office.pk
        asked |= changes
        asked = {key: value for key, value in asked.items() if value}
        return f"{reverse('desk')}?{urlencode(asked)}" if asked else reverse("desk")

    def _span_asked(self) -> dict[str, str]:
        if self.span_of == "month":
            return {"month": f"{self.on:%Y-%m}"}
        if self.span_of == "day":
            return {"from": f"{self.on:%d-%b-%Y}"}
        return {"week": _week(self.start)}

    @property
    def earlier(self) -> str:
        return self._beside(self.start - timedelta(days=1))

    @property
    def later(self) -> str:
        return self._beside(self.end + timedelta(days=1))

    def _beside(self, day: date) -> str:
        if self.is_month:
            return self.url(month=f"{day:%Y-%m}")
        return self.url(week=_week(day))

    @property
    def now(self) -> str:
        """The week or the month in which today is."""
        return self.url(month=f"{self.today:%Y-%m}") if self.is_month else self.url(week="")

    @property
    def as_week(self) -> str:
        return self.url(week=_week(self.start if not self.is_now else self.today))

    @property
    def as_month(self) -> str:
        return self.url(month=f"{self.on:%Y-%m}")

    @property
    def whole(self) -> str:
        """The desk with all its lists."""
        day = {} if self.on == self.today else {"week": _week(self.on)}
        return self.url(show="", page="", **(day or {"from": ""}))


def _week(day: date) -> str:
    year, week, _weekday = day.isocalendar()
    return f"{year}-W{week:02d}"


def read_asked(request: HttpRequest, today: date, offices: Sequence[Organisation]) -> Wanted:
    """Read the address; what it names and there is not is told, and left out."""
    get = {key: str(value).strip() for key, value in request.GET.items()}
    on, span_of, refusal = _span(get, today)
    show, office = get.get("show", ""), None
    refusals = [refusal] if refusal else []
    if show and show not in SHOWN:
        refusals.append("There is no such list. All lists of the desk are shown.")
        show = ""
    if key := get.get("office", ""):
        office = next((one for one in offices if str(one.pk) == key), None)
        if office is None:
            refusals.append("There is no such office here. The cases of all offices are shown.")
    page = get.get("page", "")
    number = int(page) if page.isascii() and page.isdigit() and len(page) < 6 else 1
    if show == DeskSection.DAYS:
        span_of = "day"
    return Wanted(
        today=today,
        on=on,
        span_of=span_of,
        show=show,
        office=office,
        page=min(max(1, number), MOST_PAGES),
        refusal=" ".join(refusals),
    )


def _span(get: dict[str, str], today: date) -> tuple[date, str, str]:
    """The day that the address names, the span around it, and what is wrong with it."""
    week, month, day = get.get("week", ""), get.get("month", ""), get.get("from", "")
    try:
        if week:
            year, number = week.upper().split("-W")
            return _within(week, date.fromisocalendar(int(year), int(number), 1)), "week", ""
        if month:
            year, number = month.split("-")
            first = date(int(year), int(number), 1)
            this_one = (first.year, first.month) == (today.year, today.month)
            return today if this_one else _within(month, first), "month", ""
        if day:
            return read_date(day) or today, "week", ""
    except ValidationError as error:
        return today, "week", f"{' '.join(error.messages)} This week is shown."
    except ValueError:
        named = f"week {week}" if week else f"month {month}"
        like = "2026-W48" if week else "2026-12"
        return today, "week", f"There is no {named}. Write it like {like}. This week is shown."
    return today, "week", ""


def _within(named: str, day: date) -> date:
    if not EARLIEST_YEAR < day.year < LATEST_YEAR:
        raise ValidationError(
            f"{named} lies outside of {EARLIEST_YEAR + 1} to {LATEST_YEAR - 1}.", code="year"
        )
    return day
