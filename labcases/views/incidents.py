"""Something went wrong: choosing what, reading what follows, reporting it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from labcases.domain import casts, foreseeing
from labcases.domain import incident as incidents_of
from labcases.domain import incident_reading as reading
from labcases.domain.foreseeing import Foreseen
from labcases.enums import Stage
from labcases.forms.incidents import ReportForm
from labcases.models import Case
from labcases.reference.incidents import Kind, kinds
from labcases.views._head import head_context
from labcases.views._incident_lines import all_of, foreseen_words, grouped
from labcases.views._lookup import case_for, notation_for, person

TITLE = "Something went wrong"
# Whoever is to read both codes off the things does not find them on the page that asks.
UNSEEN = dict.fromkeys(("code", "patient_code"), "to be read again")
SAVE, CHANGE = "report", "change"


@require_safe
def incidents(request: HttpRequest, code: str) -> HttpResponse:
    """What was reported of a case, and what this person can report of it now."""
    case = case_for(request, code)
    return page(request, case)


@require_POST
def incidents_read(request: HttpRequest, code: str) -> HttpResponse:
    """Mark what is new as read, as far as it stood on the page."""
    case = case_for(request, code)
    user = person(request)
    stood = {key for key in request.POST.getlist("seen") if key.isdecimal()}
    rows = reading.unread(user, case)
    reading.mark_read(user=user, incidents=[row for row in rows if str(row.pk) in stood])
    return redirect("incidents", case.code)


@require_http_methods(["GET", "POST"])
def incident_new(request: HttpRequest, code: str, kind: str) -> HttpResponse:
    """Details, then what would follow, then the report itself; nothing is saved before."""
    case = case_for(request, code, "report an incident")
    row = kinds().get(kind)
    if row is None:
        raise Http404
    if request.method == "GET":
        return _details(request, case, row, _form(request, case, row))
    form = _form(request, case, row, posted=True)
    if not form.is_valid() or request.POST.get("step") == CHANGE:
        status = 200 if form.is_valid() else 422
        return _details(request, case, row, form, status=status)
    try:
        if request.POST.get("step") != SAVE:
            foreseen = incidents_of.foresee(case=case, report=form.report(), by=person(request))
            return _preview(request, case, row, form, foreseen)
        saved = incidents_of.report(
            case=case,
            report=form.report(),
            seen=Stage(form.cleaned_data["seen"]),
            seen_last=form.cleaned_data["seen_last"],
            by=person(request),
        )
    except incidents_of.NotReportable as refused:
        return _details(request, case, row, form, status=422, refusal=str(refused))
    except incidents_of.ReportedMeanwhile as told:
        return _overtaken(request, code, row, told)
    messages.success(request, f"Reported: {saved.title}. {_now_stands(case)}")
    return redirect(f"{_here(case)}#incident-{saved.pk}")


def _now_stands(case: Case) -> str:
    if not case.is_open:
        return f"The case is {case.get_stage_display().lower()}."
    return f"The case stands at {case.get_stage_display().lower()}."


def _here(case: Case) -> str:
    return str(redirect("incidents", case.code).url)


def _form(request: HttpRequest, case: Case, kind: Kind, *, posted: bool = False) -> ReportForm:
    user = person(request)
    ways = foreseeing.ways_of(user, case, kind)
    options: dict[str, Any] = {
        "case": case,
        "kind": kind,
        "answers": kind.answers_at(ways, Stage(case.stage)),
        "casts_here": casts.standing(case) if "cast" in kind.asks else (),
        "notation": notation_for(user, case),
    }
    if posted:
        return ReportForm(request.POST, **options)
    stood = {"seen": case.stage, "seen_last": incidents_of.last_of(case)}
    return ReportForm(initial=stood, **options)


def _details(
    request: HttpRequest,
    case: Case,
    kind: Kind,
    form: ReportForm,
    *,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    possible = bool(foreseeing.ways_of(user, case, kind))
    context = {
        **head_context(case, user),
        "page_title": kind.title,
        "kind": kind,
        "form": form,
        "possible": possible,
        **more,
    }
    return render(request, "incidents/details.html", context, status=status)


def _preview(
    request: HttpRequest,
    case: Case,
    kind: Kind,
    form: ReportForm,
    foreseen: Foreseen,
    *,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    report = form.report()
    context = {
        **head_context(case, user),
        "page_title": kind.title,
        "kind": kind,
        "form": form,
        "report": report,
        "answer_words": kind.answers.get(report.answer, ""),
        "teeth_words": foreseeing.tooth_words(report.teeth),
        "cast_words": casts.name_of(report.cast) if report.cast else "",
        "foreseen": foreseen,
        "words": foreseen_words(case, kind, foreseen, report),
        **more,
    }
    return render(request, "incidents/preview.html", context, status=status)


def _overtaken(
    request: HttpRequest, code: str, kind: Kind, told: incidents_of.ReportedMeanwhile
) -> HttpResponse:
    """Show the other's report, and what one's own would do now; nothing typed is lost."""
    fresh = case_for(request, code)
    form = _form(request, fresh, kind, posted=True)
    form.show_now(seen=fresh.stage, seen_last=incidents_of.last_of(fresh))
    more = {"refusal": str(told), "others": told.incidents}
    if form.is_valid():
        try:
            foreseen = incidents_of.foresee(case=fresh, report=form.report(), by=person(request))
        except incidents_of.NotReportable as refused:
            more["refusal"] = f"{told} {refused}"
        else:
            return _preview(request, fresh, kind, form, foreseen, status=409, **more)
    return _details(request, fresh, kind, form, status=409, **more)


def page(request: HttpRequest, case: Case, *, status: int = 200, **more: Any) -> HttpResponse:
    """The list of a case; verbs on one report show it again when they are refused."""
    user = person(request)
    new = reading.unread(user, case)
    lines = all_of(case, user, new=new, tried=more.pop("tried", None))
    context = {
        **head_context(case, user),
        "page_title": TITLE,
        "lines": lines,
        "new": new,
        "groups": grouped(foreseeing.possible(user, case)),
        **more,
    }
    if any(line.identity_form for line in lines):
        context["head"] |= UNSEEN
    return render(request, "incidents/incidents.html", context, status=status)
