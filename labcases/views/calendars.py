"""The calendar of a house: its week, holidays and closed days, and the days on the road."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db.models import Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import access, calendars, public_holidays
from labcases.enums import HouseDayKind, Side
from labcases.forms.calendars import (
    ClosedForm,
    HolidayForm,
    HolidaysForm,
    HoursForm,
    RoadForm,
    WeekForm,
    ZoneForm,
)
from labcases.models import HouseDay, OfficeLink, Organisation, User
from labcases.templatetags.units import long_date
from labcases.views._lookup import person
from labcases.views.organisation import organisation_for


@dataclass(frozen=True)
class Road:
    """One house that boxes travel to and from, seen from the reader's."""

    link: OfficeLink
    other: Organisation
    form: RoadForm | None


@require_http_methods(["GET", "POST"])
def calendar(request: HttpRequest, pk: int) -> HttpResponse:
    """Everybody inside reads it; those in charge set the week and close days."""
    user = person(request)
    one = organisation_for(user, pk)
    if request.method == "GET":
        return _page(request, one)
    if not calendars.may_keep(user, one):
        raise PermissionDenied
    if request.POST.get("what") == "week":
        week = WeekForm(request.POST, organisation=one)
        if not week.is_valid():
            return _page(request, one, 422, week=week)
        weekdays, half = week.numbers("weekdays"), week.numbers("halves")
        try:
            calendars.set_week(organisation=one, weekdays=weekdays, half=half, by=user)
        except ValueError as refused:
            week.add_error("halves", str(refused))
            return _page(request, one, 422, week=week)
        messages.success(request, f"Open {calendars.week_words(one)}.")
        return redirect("calendar", pk)
    other = {"hours": _hours, "zone": _zone, "holidays": _holidays, "open": _open}.get(
        request.POST.get("what", "")
    )
    if other:
        return other(request, one)
    closed = ClosedForm(request.POST)
    if closed.is_valid() and _closed(request, one, closed):
        return redirect("calendar", pk)
    return _page(request, one, 422, closed=closed)


def _closed(request: HttpRequest, one: Organisation, form: ClosedForm) -> bool:
    """Whether the days are closed now; if they are not, the form says why."""
    values = form.cleaned_data
    kind = HouseDayKind(values.pop("how"))
    try:
        days = calendars.close(organisation=one, by=person(request), kind=kind, **values)
    except ValueError as refused:
        form.add_error("how" if kind == HouseDayKind.HALF else "last", str(refused))
        return False
    if days:
        until = f" to {long_date(days[-1])}" if len(days) > 1 else ""
        said = "Open half the day" if kind == HouseDayKind.HALF else "Closed"
        messages.success(request, f"{said} {long_date(days[0])}{until}.")
    else:
        messages.info(request, "It stood in the calendar already.")
    return True


def _hours(request: HttpRequest, one: Organisation) -> HttpResponse:
    """Store from when to when it is open; both boxes empty mean that nobody says."""
    form = HoursForm(request.POST, organisation=one)
    if not form.is_valid():
        return _page(request, one, 422, hours=form)
    opens, closes = (form.cleaned_data[name] for name in ("opens_at", "closes_at"))
    try:
        calendars.set_hours(organisation=one, opens=opens, closes=closes, by=person(request))
    except ValueError as refused:
        form.add_error("closes_at", str(refused))
        return _page(request, one, 422, hours=form)
    words = calendars.hours_words(one)
    messages.success(request, f"Open from {words}." if words else "The hours are taken out.")
    return redirect("calendar", one.pk)


def _zone(request: HttpRequest, one: Organisation) -> HttpResponse:
    """Store in which time zone it is."""
    form = ZoneForm(request.POST, organisation=one)
    if not form.is_valid():
        return _page(request, one, 422, zone=form)
    calendars.set_zone(organisation=one, zone=form.cleaned_data["zone"], by=person(request))
    messages.success(request, f"It is {long_date(calendars.today_of(one))} here now.")
    return redirect("calendar", one.pk)


def _holidays(request: HttpRequest, one: Organisation) -> HttpResponse:
    """Store whose public holidays it keeps."""
    form = HolidaysForm(request.POST, organisation=one)
    if not form.is_valid():
        return _page(request, one, 422, whose=form)
    public_holidays.set_region(
        organisation=one, region=form.cleaned_data["whose"], by=person(request)
    )
    region = public_holidays.region_of(one)
    kept = f"Closed on the public holidays of {region.full_words}." if region else "None are kept."
    messages.success(request, kept)
    return redirect("calendar", one.pk)


def _open(request: HttpRequest, one: Organisation) -> HttpResponse:
    """Work on one public holiday."""
    form = HolidayForm(request.POST)
    if not form.is_valid():
        return _page(request, one, 422, opened=form)
    try:
        row = public_holidays.open_all_the_same(
            organisation=one, on=form.cleaned_data["holiday"], by=person(request)
        )
    except ValueError as refused:
        form.add_error(None, str(refused))
        return _page(request, one, 422, opened=form)
    messages.success(request, f"Open on {long_date(row.on)}, {row.reason}.")
    return redirect("calendar", one.pk)


@require_POST
def house_day_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Take out a day that was closed, or a holiday on which it would have worked."""
    user = person(request)
    row = get_object_or_404(HouseDay.objects.select_related("organisation"), pk=pk)
    one = organisation_for(user, row.organisation_id)
    if not calendars.may_keep(user, one):
        raise PermissionDenied
    calendars.reopen(row=row, by=user)
    said = {
        HouseDayKind.CLOSED: "is no longer a closed day",
        HouseDayKind.HALF: "is no longer a half day",
        HouseDayKind.OPEN: "is closed, as a public holiday",
    }[HouseDayKind(row.kind)]
    messages.success(request, f"{long_date(row.on)} {said}.")
    return redirect("calendar", one.pk)


@require_POST
def link_road(request: HttpRequest, pk: int) -> HttpResponse:
    """Days on the road between an office and a laboratory; either of them says it."""
    user = person(request)
    link = get_object_or_404(
        OfficeLink.objects.select_related("office", "laboratory").filter(active=True), pk=pk
    )
    own = {one.pk for one in access.organisations(user)}
    if not own & {link.office_id, link.laboratory_id}:
        raise Http404
    sides = calendars.sides_of(user, link)
    if not sides:
        raise PermissionDenied
    one = link.office if sides[0] == Side.OFFICE else link.laboratory
    form = RoadForm(request.POST, link=link)
    if not form.is_valid():
        return _page(request, one, 422, road=form)
    calendars.set_road(link=link, days=form.cleaned_data["days"], side=sides[0], by=user)
    messages.success(request, "The days on the road are stored.")
    return redirect("calendar", one.pk)


def _page(
    request: HttpRequest,
    one: Organisation,
    status: int = 200,
    *,
    week: WeekForm | None = None,
    hours: HoursForm | None = None,
    closed: ClosedForm | None = None,
    road: RoadForm | None = None,
    whose: HolidaysForm | None = None,
    opened: HolidayForm | None = None,
    zone: ZoneForm | None = None,
) -> HttpResponse:
    user = person(request)
    may_keep = calendars.may_keep(user, one)
    today = calendars.today_of(one)
    context = {
        "page_title": f"Open days of {one}",
        "organisation": one,
        "may_keep": may_keep,
        "week_words": calendars.week_words(one),
        "week": week or WeekForm(organisation=one),
        "hours": hours or HoursForm(organisation=one),
        "hours_words": calendars.hours_words(one),
        "closed": closed or ClosedForm(),
        "closed_days": one.days.filter(on__gte=today)
        .exclude(kind=HouseDayKind.OPEN)
        .select_related("by"),
        "region": public_holidays.region_of(one),
        "whose": whose or HolidaysForm(organisation=one),
        "holidays": public_holidays.ahead(one, today),
        "rules_only_from": public_holidays.rules_only_from(
            one, today + timedelta(days=public_holidays.SHOWN_DAYS)
        ),
        "bridges": public_holidays.bridges(one, today) if may_keep else [],
        "bridge_words": public_holidays.BRIDGE,
        "zone": zone or ZoneForm(organisation=one),
        "zone_name": calendars.zone_of(one),
        "roads": _roads(user, one, road),
        "refused": week or hours or closed or road or whose or opened or zone,
    }
    return render(request, "organisation/calendar.html", context, status=status)


def _roads(user: User, one: Organisation, refused: RoadForm | None) -> list[Road]:
    links = (
        OfficeLink.objects.filter(Q(office=one) | Q(laboratory=one), active=True)
        .select_related("office", "laboratory", "road_set_by")
        .order_by("office__name", "laboratory__name")
    )
    found = []
    for link in links:
        form = refused if refused and refused.link.pk == link.pk else RoadForm(link=link)
        other = link.laboratory if link.office_id == one.pk else link.office
        found.append(Road(link, other, form if calendars.sides_of(user, link) else None))
    return found
