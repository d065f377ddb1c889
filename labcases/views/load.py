"""Load of a laboratory's bench: each day beside the minutes there are, and a levelling of it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from labcases import codes
from labcases.domain import bench_minutes, bench_plan, load_reading
from labcases.domain.versions import EditConflict
from labcases.enums.load import BenchJob
from labcases.forms.load import JobMinutesForm, PeopleMinutesForm, TaskForm, move_text, read_moves
from labcases.models import Organisation
from labcases.outputs import load_view
from labcases.reference.load import source
from labcases.views import _conflict
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views.organisation import laboratory_for


@require_safe
def load(request: HttpRequest, pk: int) -> HttpResponse:
    """Three weeks, day by day and person by person, and the jobs behind them."""
    user = person(request)
    one = laboratory_for(user, pk, bench_minutes.may_read)
    found = load_reading.read(one)
    context = {
        "page_title": f"Load of the bench at {one}",
        "organisation": one,
        "heads": [name.name for _place, name in load_view.columns(found)] + [load_view.NOBODY],
        "days": load_view.days(found),
        "jobs": load_view.jobs(found),
        "over": found.over,
        "sum_words": load_view.sum_words(found),
        "first": found.dates[0],
        "last": found.dates[-1],
        "may_keep": bench_minutes.may_keep(user, one),
        "source": source(),
    }
    return render(request, "load/load.html", context)


@require_http_methods(["GET", "POST"])
def load_people(request: HttpRequest, pk: int) -> HttpResponse:
    """Minutes that each person has for the bench on each weekday."""
    user = person(request)
    one = laboratory_for(user, pk, bench_minutes.may_read)
    data = _posted(request, one)
    form = PeopleMinutesForm(data, laboratory=one)
    if form.is_valid():
        changed = bench_minutes.save_people_minutes(laboratory=one, minutes=form.minutes(), by=user)
        messages.success(request, "Saved." if changed else "Nothing differs from before.")
        return redirect("load_people", pk)
    return _minutes_page(request, one, form, "load/people.html", "Minutes at the bench")


@require_http_methods(["GET", "POST"])
def load_jobs(request: HttpRequest, pk: int) -> HttpResponse:
    """Minutes of each job in this laboratory."""
    user = person(request)
    one = laboratory_for(user, pk, bench_minutes.may_read)
    form = JobMinutesForm(_posted(request, one), laboratory=one)
    if form.is_valid():
        changed = bench_minutes.save_job_minutes(laboratory=one, minutes=form.minutes(), by=user)
        messages.success(request, "Saved." if changed else "Nothing differs from before.")
        return redirect("load_jobs", pk)
    return _minutes_page(request, one, form, "load/jobs.html", "Minutes of the jobs")


def _posted(request: HttpRequest, one: Organisation) -> Any:
    """What was sent, by somebody who may; nothing where the page is only read."""
    if request.method != "POST":
        return None
    if not bench_minutes.may_keep(person(request), one):
        raise PermissionDenied
    return request.POST


def _minutes_page(
    request: HttpRequest, one: Organisation, form: Any, template: str, title: str
) -> HttpResponse:
    context = {
        "page_title": f"{title} at {one}",
        "organisation": one,
        "form": form,
        "may_keep": bench_minutes.may_keep(person(request), one),
        "source": source(),
    }
    return render(request, template, context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
def load_levelling(request: HttpRequest, pk: int) -> HttpResponse:
    """A proposal for days that hold too much; POST takes it over as it stood on the page."""
    user = person(request)
    one = laboratory_for(user, pk, bench_minutes.may_keep)
    if request.method == "GET":
        return _levelling_page(request, one)
    try:
        wishes = read_moves(request.POST.getlist("move"))
        count = bench_plan.take_over(laboratory=one, wishes=wishes, by=user)
    except (ValueError, bench_plan.Changed) as refused:
        return _levelling_page(request, one, refusal=str(refused))
    moved = "1 job stands" if count == 1 else f"{count} jobs stand"
    messages.success(request, f"{moved} on another day. The latest days of the plan are the same.")
    return redirect("load", pk)


def _levelling_page(request: HttpRequest, one: Organisation, refusal: str = "") -> HttpResponse:
    found = bench_plan.propose(load_reading.read(one))
    context = {
        "page_title": "Levelling of the bench",
        "organisation": one,
        "found": found,
        "left": load_view.left_words(found),
        "moves": [
            {
                "text": move_text(move.job.code, move.job.job.value, move.to),
                "case": move.job.code,
                "code": codes.grouped(move.job.code),
                "job": move.job.job.label,
                "on": move.job.on,
                "to": move.to,
                "minutes": move.job.minutes,
            }
            for move in found.moves
        ],
        "refusal": refusal,
    }
    return render(request, "load/levelling.html", context, status=422 if refusal else 200)


@require_http_methods(["GET", "POST"])
def bench_job(request: HttpRequest, code: str, job: str) -> HttpResponse:
    """Who does one job of a case, and on which day."""
    case = case_for(request, code, "bench work")
    if job not in BenchJob.values:
        raise Http404
    user, which = person(request), BenchJob(job)
    own = bench_plan.own(case, which)
    form = TaskForm(request.POST if request.method == "POST" else None, case=case, own=own)
    status, conflict = 200, None
    if form.is_valid():
        try:
            bench_plan.save_task(
                case=case, which=which, version=form.started_from, by=user, **form.values()
            )
        except ValueError as refused:
            form.add_error(None, str(refused))
        except EditConflict as found:
            form.show_stored(found.stored.version)
            status, conflict = 409, _conflict.shown(found, form.fields)
        else:
            messages.success(request, f"{which.label} is planned.")
            return redirect("load", case.laboratory_id)
    context = {
        **head_context(case, user),
        "page_title": which.label,
        "laboratory": case.laboratory,
        "job": own.job,
        "label": which.label,
        "form": form,
        "conflict": conflict,
    }
    status = 422 if form.errors and not conflict else status
    return render(request, "load/job.html", context, status=status)
