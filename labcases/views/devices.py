"""The list of the devices of a period, where the profile of the house asks for one."""

from __future__ import annotations

from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from labcases.domain import access
from labcases.domain import devices as devices_of
from labcases.domain.devices import Device
from labcases.forms.period import PeriodForm
from labcases.models import Organisation, User
from labcases.outputs import device_list
from labcases.outputs.pdf import PdfOff
from labcases.pdf_support import pdf_problem
from labcases.reference.devices import caution
from labcases.views import _sent
from labcases.views._lookup import person
from labcases.views.organisation import laboratory_for
from labcases.views.quality import period_of


def _may_list(user: User, one: Organisation) -> bool:
    return access.may_in(user, "list devices", one)


@require_safe
def devices(request: HttpRequest, pk: int) -> HttpResponse:
    """The page; where the profile asks for no list it says so and shows none."""
    one = laboratory_for(person(request), pk, _may_list)
    return _page(request, one, period_of(request, one))


def _page(
    request: HttpRequest, one: Organisation, form: PeriodForm, status: int = 200
) -> HttpResponse:
    asks = devices_of.asks(one)
    context = {
        "page_title": "Devices of a period",
        "organisation": one,
        "form": form,
        "asks": asks,
        "caution": caution(),
        "query": request.GET.urlencode(),
        "pdf_problem": pdf_problem(),
    }
    if not form.is_valid():
        return render(request, "devices/devices.html", context, status=422)
    if asks:
        found, since, until = _found(one, form)
        context |= {
            "since": since,
            "until": until,
            "rows": device_list.rows(found),
            "summary": device_list.summary(found),
        }
    return render(request, "devices/devices.html", context, status=status)


def _found(one: Organisation, form: PeriodForm) -> tuple[list[Device], date, date]:
    since, until = form.span
    return devices_of.sent_out(one, since=since, until=until, office=form.office), since, until


def _asked(request: HttpRequest, pk: int) -> tuple[Organisation, PeriodForm]:
    one = laboratory_for(person(request), pk, _may_list)
    if not devices_of.asks(one):
        raise Http404
    return one, period_of(request, one)


@require_safe
def devices_csv(request: HttpRequest, pk: int) -> HttpResponse:
    """The same rows as a file."""
    one, form = _asked(request, pk)
    if not form.is_valid():
        return _page(request, one, form)
    found, since, until = _found(one, form)
    name = f"devices-{since:%Y-%m-%d}-{until:%Y-%m-%d}.csv"
    return _sent.table(device_list.content(found), name)


@require_safe
def devices_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The same rows as a paper; a page that says so when this machine cannot make one."""
    one, form = _asked(request, pk)
    if not form.is_valid():
        return _page(request, one, form)
    found, since, until = _found(one, form)
    try:
        document = device_list.pdf(one, found, since=since, until=until, by=person(request))
    except PdfOff:
        return _page(request, one, form, 503)
    name = f"devices-{since:%Y-%m-%d}-{until:%Y-%m-%d}.pdf"
    return _sent.paper(document, name)
