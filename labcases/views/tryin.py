"""The posterior try-in: the dentist's verdict, and going on without one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import gates, sending_back, tryin, tryin_boxes, tryin_numbers
from labcases.domain.versions import EditConflict
from labcases.enums import Route, Stage, TryInWish
from labcases.forms.tryin import JSON, TryInForm, WaiveForm
from labcases.models import Case, TryIn
from labcases.outputs import tryin_view
from labcases.views import _conflict
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, person

RECORD = "record a try-in"
WAIVE = "approve"
CHECK = "bench work"
NONE_OUT = (
    "No try-in is out for this case, so there is nothing to record. The laboratory moves the "
    "case to the try-in when the posterior teeth are ready."
)


@require_http_methods(["GET", "POST"])
def try_in(request: HttpRequest, code: str) -> HttpResponse:
    """The checklist and the dentist's verdict on the last try-in."""
    case = acting_case(request, code, RECORD)
    row = case.try_ins.last()
    if request.method == "GET":
        return _try_in_page(request, case, form=_open_form(case))
    if row is None:
        return _try_in_page(request, case, 422, form=None, refusal=NONE_OUT)
    form = TryInForm(request.POST, instance=row)
    if not form.is_valid():
        return _try_in_page(request, case, 422, form=form)
    values = form.values()
    follows = sending_back.follows(case, outcome=values["outcome"], answers=values["answers"])
    if follows and request.POST.get("follows") != follows.key:
        return _try_in_page(request, case, form=form, follows=follows)
    try:
        tryin.record(case=case, version=form.started_from, by=person(request), values=values)
    except sending_back.TooLate as refused:
        return _try_in_page(request, case, 422, form=form, refusal=str(refused))
    except EditConflict as found:
        form.show_stored(found.stored.version)
        return _try_in_page(
            request,
            case,
            409,
            form=form,
            conflict=_clashes(found, form),
        )
    messages.success(request, f"The try-in is recorded. {follows.goes if follows else ''}".strip())
    return redirect("case", case.code)


@require_POST
def try_in_waive(request: HttpRequest, code: str) -> HttpResponse:
    """The dentist goes on without a try-in, with a reason."""
    case = case_for(request, code, WAIVE)
    form = WaiveForm(request.POST)
    if not form.is_valid():
        return _try_in_page(request, case, 422, form=_open_form(case), waive=form)
    try:
        tryin.waive(case=case, by=person(request), reason=form.cleaned_data["reason"])
    except tryin.NothingToWaive as found:
        return _try_in_page(request, case, 409, form=_open_form(case), refusal=str(found))
    messages.success(request, "The try-in is waived; the reason prints on later papers.")
    return redirect("case", case.code)


def _open_form(case: Case) -> TryInForm | None:
    row = case.try_ins.last()
    return TryInForm(instance=row) if row else None


def _try_in_page(request: HttpRequest, case: Case, status: int = 200, **more: Any) -> HttpResponse:
    rows = list(
        TryIn.objects.filter(case=case).select_related("decided_by", "paper", "bench_check", "case")
    )
    context = {
        **head_context(case, person(request)),
        "page_title": "Try-in",
        "row": rows[-1] if rows else None,
        "recorded": [tryin_view.recorded(row) for row in reversed(rows) if row.outcome],
        "why_none": _why_none(case),
        "comes": not rows and _why_none(case) == NONE_OUT,
        "where": tryin_boxes.whereabouts(case),
        "bench": _bench(case),
        **more,
    }
    context["can_edit"] = RECORD in context["acts"]
    context["can_check"] = (
        CHECK in context["acts"] and case.stage == Stage.SET_UP and _why_none(case) == NONE_OUT
    )
    if WAIVE in context["acts"] and list(gates.try_in_answered(case)):
        context.setdefault("waive", WaiveForm())
    return render(request, "tryin/try_in.html", context, status=status)


def _bench(case: Case) -> tryin_view.Checked | None:
    """What the bench answered of the base that is out, for the person who looks at it."""
    last = case.bench_checks.filter(try_in__isnull=False).last()
    return tryin_view.checked(last) if last else None


def _clashes(found: EditConflict, form: TryInForm) -> _conflict.Conflict:
    """Both values; of the checklist only the lines that differ, in their own words."""
    shown = _conflict.shown(found, {**form.fields, **dict.fromkeys(JSON)})
    stored = found.stored
    if not isinstance(stored, TryIn):
        return shown
    return replace(shown, rows=[_readable(row, found, stored) for row in shown.rows])


def _readable(row: _conflict.Row, found: EditConflict, stored: TryIn) -> _conflict.Row:
    """A row of the conflict; lists and tables of answers as a person reads them."""
    if row.name not in JSON:
        return row
    yours, theirs = found.yours[row.name], getattr(stored, row.name)
    if row.name == "centric":
        words = [
            ", ".join(tryin_numbers.closing_words(pair) for pair in one) for one in (yours, theirs)
        ]
        return replace(row, label="Centric", yours=words[0], stored=words[1])
    return _conflict.of_lines(row, yours, theirs)


def _why_none(case: Case) -> str:
    row = case.prescription
    if row.route == Route.INTERIM or row.try_in == TryInWish.NOT_POSSIBLE:
        return (
            "No try-in is possible on this route: teeth stand in both segments until surgery. The "
            "final wax is judged by photographs and millimetres instead."
        )
    if row.try_in == TryInWish.WAIVED:
        return "The dentist has waived the try-in in the prescription."
    return NONE_OUT
