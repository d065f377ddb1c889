"""How a denture is processed: its record, its steps with their times, its materials with lots."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db.models import Model
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import access, calendars, curing, occupancy, processing_runs
from labcases.domain import processing_state as states
from labcases.domain.processing_state import NOT_BEGUN, State
from labcases.domain.versions import EditConflict
from labcases.enums.curing import Technique
from labcases.forms.curing import GiveUpForm, MaterialForm, NowForm, RunForm, StepForm, minute
from labcases.models import Case, ProcessingRun, ProcessingStep, UsedMaterial, User
from labcases.outputs import curing_view
from labcases.outputs.curing_view import Start
from labcases.reference import curing as known
from labcases.reference import safety
from labcases.reference.curing import Cycle
from labcases.views import _conflict
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, person
from labcases.views._striking import strike_line

WRITE = "bench work"

STRUCK: dict[str, tuple[type[Model], Callable[..., Any]]] = {
    "step": (ProcessingStep, processing_runs.strike),
    "material": (UsedMaterial, processing_runs.strike),
}


@require_http_methods(["GET", "POST"])
def processing(request: HttpRequest, code: str) -> HttpResponse:
    """Show the record; POST saves what it is processed by."""
    case = acting_case(request, code, WRITE)
    if request.method == "GET":
        return _page(request, case)
    technique = request.POST.get("technique", "")
    if technique not in Technique:
        return _page(request, case, 422, refusal="Choose the technique, and fill its form in.")
    form = RunForm(request.POST, instance=_row(case), technique=technique)
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    try:
        processing_runs.save(
            case=case, version=form.started_from, by=person(request), values=form.values()
        )
    except (processing_runs.NothingToProcess, ValueError) as refused:
        return _page(request, case, 422, form=form, refusal=str(refused))
    except EditConflict as found:
        conflict = _conflict.shown(found, {**form.fields, "details": None})
        form.show_stored(found.stored.version)
        return _page(request, case, 409, form=form, conflict=conflict)
    messages.success(request, "Saved. Enter each step when it is done.")
    return redirect("processing", case.code)


@require_POST
def step(request: HttpRequest, code: str) -> HttpResponse:
    """Enter a step: done at this moment, or with its time."""
    case = case_for(request, code, WRITE)
    run = states.run_of(case)
    if run is None:
        return _page(request, case, 409, refusal=NOT_BEGUN)
    if "now" in request.POST:
        tap = NowForm(request.POST, run=run)
        if not tap.is_valid():
            return _page(request, case, 422, refusal=tap.errors["step"][0])
        form = StepForm(run=run)
        told: dict[str, Any] = {"step": tap.cleaned_data["step"], "at": minute()}
    else:
        form = StepForm(request.POST, run=run)
        if not form.is_valid():
            return _page(request, case, 422, line_form=form)
        told = form.values()
        told["at"] = told.pop("happened_at")
    try:
        line = processing_runs.log_step(run=run, by=person(request), **told)
    except processing_runs.Early as early:
        return _early(request, case, run, told, early)
    except ValueError as refused:
        if form.is_bound:
            form.add_error("happened_at", str(refused))
            return _page(request, case, 422, line_form=form)
        return _page(request, case, 422, refusal=str(refused))
    messages.success(request, f"Entered: {processing_runs.in_words(line)}.")
    return redirect("processing", case.code)


def _early(
    request: HttpRequest,
    case: Case,
    run: ProcessingRun,
    told: dict[str, Any],
    early: processing_runs.Early,
) -> HttpResponse:
    """Refuse what came before its time, and ask for the words that let it be entered."""
    form = StepForm(
        {
            **{name: told.get(name, "") for name in ("step", "done_by", "words", "note")},
            "happened_at": f"{timezone.localtime(told['at']):%Y-%m-%d %H:%M}",
        },
        run=run,
    )
    form.is_valid()
    form.add_error("words", str(early))
    return _page(request, case, 422, line_form=form)


@require_POST
def material(request: HttpRequest, code: str) -> HttpResponse:
    """Enter a material with its lot."""
    case = case_for(request, code, WRITE)
    run = states.run_of(case)
    if run is None:
        return _page(request, case, 409, refusal=NOT_BEGUN)
    form = MaterialForm(request.POST, run=run)
    if not form.is_valid():
        return _page(request, case, 422, line_form=form)
    processing_runs.use_material(run=run, by=person(request), values=form.values())
    messages.success(request, "The material is entered.")
    return redirect("processing", case.code)


@require_POST
def give_up(request: HttpRequest, code: str) -> HttpResponse:
    """Give a processing up with a reason, so that another begins."""
    case = case_for(request, code, WRITE)
    run = states.run_of(case)
    if run is None:
        return _page(request, case, 409, refusal=NOT_BEGUN)
    form = GiveUpForm(request.POST, run=run)
    if not form.is_valid():
        return _page(request, case, 422, give_up_form=form)
    try:
        processing_runs.give_up(
            row=run,
            version=form.cleaned_data["version"] or 0,
            reason=form.cleaned_data["reason"],
            by=person(request),
        )
    except EditConflict:
        return _page(
            request,
            case,
            409,
            refusal="Somebody changed this processing while you had it open. Look at it again "
            "before you give it up.",
        )
    messages.success(request, "It is given up and stays readable. Begin another one below.")
    return redirect("processing", case.code)


@require_POST
def strike(request: HttpRequest, code: str, pk: int, what: str) -> HttpResponse:
    """Strike one line out; it stays readable with the reason beside it."""
    case = case_for(request, code, WRITE)
    if what not in STRUCK:
        raise Http404
    model, verb = STRUCK[what]
    row = get_object_or_404(model, pk=pk, case=case)
    return strike_line(
        request,
        case,
        row,
        verb=verb,
        page=_page,
        then="processing",
        key=f"{what}{pk}",
        box=f"id_strike_{what}{pk}",
    )


def _row(case: Case) -> ProcessingRun:
    return states.run_of(case) or ProcessingRun(case=case)


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: RunForm | None = None,
    line_form: StepForm | MaterialForm | None = None,
    give_up_form: GiveUpForm | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    head = head_context(case, user)
    can_edit = WRITE in head["acts"] and case.handoffs.exists()
    run = states.run_of(case)
    technique = _technique(request, case, run, form)
    context = {
        **head,
        "page_title": "Processing",
        "run": run,
        "handoff": case.handoffs.last(),
        "can_edit": can_edit,
        "technique": technique,
        "techniques": list(Technique),
        "form": form or (RunForm(instance=_row(case), technique=technique) if can_edit else None),
        "line_form": line_form,
        "give_up_form": give_up_form,
        "earlier": curing_view.earlier(case, run),
        "safety_first": safety.first(),
        "safety_all": _safety(technique),
        "listed": curing_view.listed(case.laboratory, technique),
        "may_see_cycles": access.may_in(user, "keep the curing cycles", case.laboratory),
        "refused": bool(form or line_form or give_up_form or more),
        **(_of_run(run, user, line_form, give_up_form, can_edit=can_edit) if run else {}),
        **more,
    }
    return render(request, "processing/processing.html", context, status=status)


def _technique(
    request: HttpRequest, case: Case, run: ProcessingRun | None, form: RunForm | None
) -> Technique:
    """The technique whose form is shown: the one asked for, else the record's, else the usual."""
    if form is not None:
        return form.way.technique
    asked = request.GET.get("technique", "")
    if asked in Technique:
        return Technique(asked)
    if run is not None:
        return Technique(run.technique)
    handoff = case.handoffs.last()
    return known.usual(handoff.base_material if handoff else "")


def _of_run(
    run: ProcessingRun,
    user: User,
    line_form: StepForm | MaterialForm | None,
    give_up_form: GiveUpForm | None,
    *,
    can_edit: bool,
) -> dict[str, Any]:
    state = states.of(run)
    now = timezone.now()
    laboratory = run.case.laboratory
    house = curing.house_of(laboratory, calendars.calendar_of(laboratory))
    shared = access.positions(user, run.case) & access.LABORATORY
    return {
        "cautions": [
            *state.cautions(),
            *(occupancy.cautions(state, now=now) if shared else ()),
        ],
        "record": curing_view.pairs(run),
        "cited": processing_runs.instructions_of(run),
        "due": curing_view.due(state, house, now=now),
        "advice": curing_view.advice(state, house, now=now),
        "steps": curing_view.steps(run),
        "next_step": state.next_step,
        "safety_now": safety.at(state.next_step.key, run.technique) if state.next_step else [],
        "materials": curing_view.materials(run),
        "own_materials": curing_view.own(run),
        "starts": _starts(state, house, now),
        "starts_on": curing_view.next_open(house, now),
        **(_forms(run, line_form, give_up_form) if can_edit else {}),
    }


def _safety(technique: Technique) -> list[safety.Safety]:
    steps = tuple(one.key for one in known.ways()[technique].steps)
    return safety.of_technique(technique, steps)


def _starts(state: State, house: curing.House, now: Any) -> list[Start]:
    cycle: Cycle | None = state.cycle
    if cycle is None or state.started:
        return []
    return curing_view.starts(cycle, curing_view.next_open(house, now), house)


def _forms(
    run: ProcessingRun, refused: StepForm | MaterialForm | None, giving_up: GiveUpForm | None
) -> dict[str, Any]:
    """The forms of the page; the one that was refused keeps what was typed."""
    return {
        "step_form": refused if isinstance(refused, StepForm) else StepForm(run=run),
        "material_form": refused if isinstance(refused, MaterialForm) else MaterialForm(run=run),
        "give_up_form": giving_up or GiveUpForm(run=run),
        "giving_up": giving_up is not None,
    }
