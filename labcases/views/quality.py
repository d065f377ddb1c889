"""A laboratory's quality: pin rise over time, questions, remakes and days, as page and file."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from labcases.domain import access, quality_reading
from labcases.forms.period import PeriodForm
from labcases.models import Organisation, User
from labcases.outputs import quality_view
from labcases.reference.quality import counted
from labcases.views import _sent
from labcases.views._lookup import person
from labcases.views.organisation import laboratory_for


def _may_read(user: User, one: Organisation) -> bool:
    return access.may_in(user, "read the quality", one)


def period_of(request: HttpRequest, one: Organisation) -> PeriodForm:
    """The period of the address, with the offices that ever sent something here."""
    offices = Organisation.objects.filter(office_cases__laboratory=one).distinct()
    return PeriodForm(request.GET, offices=offices.order_by("name", "pk"))


@require_safe
def quality(request: HttpRequest, pk: int) -> HttpResponse:
    """The page: a drawing, three tables, and a file of the same."""
    one = laboratory_for(person(request), pk, _may_read)
    return _page(request, one, period_of(request, one))


def _page(request: HttpRequest, one: Organisation, form: PeriodForm) -> HttpResponse:
    context = {
        "page_title": "Quality",
        "organisation": one,
        "form": form,
        "told": counted(),
        "query": request.GET.urlencode(),
    }
    if not form.is_valid():
        return render(request, "quality/quality.html", context, status=422)
    since, until = form.span
    found = quality_reading.read(one, since=since, until=until, office=form.office)
    readings = quality_view.rows_of_chart(found)
    context |= {
        "since": since,
        "until": until,
        "found": found,
        "charts": quality_view.charts(found),
        "readings": readings,
        "outside": sum(row["outside"] for row in readings),
        "offices": [quality_view.of_office(row) for row in (found.all, *found.offices)],
        "stages": quality_view.of_stages(found),
    }
    return render(request, "quality/quality.html", context)


@require_safe
def quality_csv(request: HttpRequest, pk: int) -> HttpResponse:
    """The same counts and figures as a file."""
    one = laboratory_for(person(request), pk, _may_read)
    form = period_of(request, one)
    if not form.is_valid():
        return _page(request, one, form)
    since, until = form.span
    found = quality_reading.read(one, since=since, until=until, office=form.office)
    name = f"quality-{since:%Y-%m-%d}-{until:%Y-%m-%d}.csv"
    return _sent.table(quality_view.content(found), name)
