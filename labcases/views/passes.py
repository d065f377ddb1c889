"""Grinding-in: a pass is tapped, seen, judged, ground for, and the pin looked at again."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from labcases.domain import access, excursions, ledger, passes
from labcases.domain.bench import NotADentureTooth
from labcases.domain.passes import NothingThere, NotStanding
from labcases.domain.proposing import RAISE
from labcases.enums import Movement, SetUpAct
from labcases.enums.marks import Excursions
from labcases.forms.passes import QUICK_MM, DoneForm, ExcursionsForm, JudgeForm, PassForm, PinForm
from labcases.forms.questions import tooth_words
from labcases.models import Case, Mark, SetUpEntry
from labcases.outputs import explained_view, marks_view, passes_view, progress_view, setup_view
from labcases.outputs.marks_view import MarkRow
from labcases.templatetags.units import mm
from labcases.views._head import bench_context
from labcases.views._lookup import acting_case, case_for, notation_for, person
from labcases.views._mark_offers import with_offers

LOG = "bench work"
CORRECT = "Please correct this"


@require_http_methods(["GET", "POST"])
def passes_page(request: HttpRequest, code: str) -> HttpResponse:
    """The teeth to tap, and where the passes stand; POST logs a pass."""
    case = acting_case(request, code, LOG)
    user = person(request)
    if request.method == "GET":
        return tap_page(request, case)
    form = PassForm(request.POST, case=case, notation=notation_for(user, case))
    if not form.is_valid():
        return tap_page(request, case, 422, form=form)
    try:
        entry = passes.log_pass(
            case=case,
            by=user,
            movement=form.cleaned_data["movement"],
            marks=form.marks(),
            note=form.cleaned_data["note"],
        )
    except NothingThere as refused:
        return tap_page(request, case, 422, form=form, refusal=str(refused))
    many = f"{len(entry.teeth)} teeth" if len(entry.teeth) != 1 else "1 tooth"
    messages.success(request, f"Logged: {entry.get_movement_display().lower()}, {many} marked.")
    return _to_pass(case, entry.pk)


@require_safe
def pass_seen(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """One pass: what the scheme wants of it, what changed, and what is proposed for its marks."""
    case = case_for(request, code)
    return _seen(request, case, _pass(case, pk))


@require_POST
def pass_judge(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Say whether a pass was as wanted; then the next pass, or what is proposed."""
    case = case_for(request, code, LOG)
    entry = _pass(case, pk)
    form = JudgeForm(request.POST)
    if not form.is_valid():
        return _seen(request, case, entry, 422, refusal=form.errors["verdict"][0])
    as_wanted = form.cleaned_data["verdict"]
    try:
        passes.judge(entry=entry, as_wanted=as_wanted, by=person(request))
    except NotStanding as refused:
        return _seen(request, case, entry, 409, refusal=str(refused))
    word = "as wanted" if as_wanted else "not as wanted"
    messages.success(request, f"{entry.get_movement_display()}: {word}.")
    if as_wanted or not entry.teeth:
        return redirect(f"{reverse('passes', args=[case.code])}#next")
    return _to_pass(case, entry.pk)


@require_POST
def pass_done(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Log what was taken off for a mark."""
    case = case_for(request, code, LOG)
    mark = _mark(case, pk)
    form = DoneForm(request.POST, auto_id=f"id_mark{mark.pk}_%s")
    if not form.is_valid():
        return _seen(request, case, mark.entry, 422, done_form=form, done_mark=mark.pk)
    depth_mm, tooth = form.cleaned_data["depth_mm"], form.cleaned_data["tooth"]
    proposed = next((one for one in _rows(case, "ISO 3950") if one.mark.pk == mark.pk), None)
    try:
        passes.grind(mark=mark, tooth=tooth, depth_mm=depth_mm, by=person(request))
    except (NotADentureTooth, passes.NotThisTooth) as refused:
        return _seen(request, case, mark.entry, 422, refusal=str(refused))
    messages.success(request, f"Logged: {mm(depth_mm)} off {tooth_words(tooth)}.")
    if proposed is not None and proposed.depth_mm is not None and depth_mm > proposed.depth_mm:
        messages.warning(request, f"That is more than the {mm(proposed.depth_mm)} proposed.")
    if proposed is not None and proposed.left_mm is not None and depth_mm > proposed.left_mm:
        messages.warning(request, "The height budget of the tooth is overdrawn. Re-set it rather.")
    return _to_pass(case, mark.entry_id)


@require_POST
def pass_excursions(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Say of a mark in centric whether its cusp marks in the excursions too."""
    case = case_for(request, code, LOG)
    mark = _mark(case, pk)
    form = ExcursionsForm(request.POST)
    if not form.is_valid():
        return _seen(request, case, mark.entry, 422, refusal=form.errors["marks_too"][0])
    answer = form.cleaned_data["marks_too"]
    try:
        excursions.say(mark=mark, answer=answer, by=person(request))
    except excursions.NotOfCentric as refused:
        return _seen(request, case, mark.entry, 409, refusal=str(refused))
    messages.success(
        request, f"Excursions of {tooth_words(mark.tooth)}: {str(answer.label).lower()}."
    )
    return redirect(f"{reverse('pass_seen', args=[case.code, mark.entry_id])}#mark{mark.pk}")


@require_POST
def pass_pin(request: HttpRequest, code: str) -> HttpResponse:
    """Log that the pin touches the table, or how far it is lifted."""
    case = case_for(request, code, LOG)
    form = PinForm(request.POST)
    if not form.is_valid():
        return tap_page(request, case, 422, pin_form=form)
    lifted_mm = form.cleaned_data["lifted_mm"]
    passes.see_pin(case=case, lifted_mm=lifted_mm, by=person(request))
    said = f"is lifted by {mm(lifted_mm)}" if lifted_mm else "touches the table"
    messages.success(request, f"Logged: the pin {said}.")
    return redirect(f"{reverse('passes', args=[case.code])}#next")


def _pass(case: Case, pk: int) -> SetUpEntry:
    found = SetUpEntry.objects.select_related("by", "struck_by")
    entry = get_object_or_404(found, pk=pk, case=case, act=SetUpAct.PASS)
    entry.case = case
    return entry


def _mark(case: Case, pk: int) -> Mark:
    found: Mark = get_object_or_404(Mark.objects.select_related("entry"), pk=pk, entry__case=case)
    found.entry.case = case
    return found


def _to_pass(case: Case, pk: int) -> HttpResponse:
    """Past the head of the case, to what was just done and what is next."""
    return redirect(f"{reverse('pass_seen', args=[case.code, pk])}#seen")


def _rows(case: Case, notation: str) -> list[MarkRow]:
    rows: list[MarkRow] = marks_view.build_context(case, notation)["mark_rows"]
    return rows


def tap_page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: PassForm | None = None,
    pin_form: PinForm | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    notation = notation_for(user, case)
    usual = passes.usual_next(case)
    form = form or PassForm(case=case, notation=notation, movement=usual)
    rows = setup_view.passes(case, notation)
    context = {
        **bench_context(case, user),
        "page_title": "Grinding-in",
        "notation": notation,
        "pass_form": form,
        "movements": list(zip(form.movements, rows, strict=True)),
        "usual": usual.label,
        "passes": rows,
        "glance": progress_view.glance(case, notation),
        "due": passes_view.due(case, notation),
        "pin_due": passes_view.pin_due(case),
        "pin_form": pin_form or PinForm(),
        "pin_set_at": passes.pin_set_at(case),
        "vertical": setup_view.vertical(ledger.balance(case)),
        "compared": explained_view.build_context(case, notation),
        **more,
    }
    refused = next((one for one in (form, pin_form) if one is not None and one.errors), None)
    if refused is not None and "refusal" not in more:
        context |= {"refusal": CORRECT, "refusal_form": refused}
    context["can_edit"] = LOG in context["acts"]
    return render(request, "passes/passes.html", context, status=status)


def _seen(
    request: HttpRequest,
    case: Case,
    entry: SetUpEntry,
    status: int = 200,
    *,
    done_form: DoneForm | None = None,
    done_mark: int = 0,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    notation = notation_for(user, case)
    movement = Movement(entry.movement)
    newest = ledger.last_passes(case).get(movement)
    earlier = passes.before(case, entry)
    wanted = [entry.pk, *([earlier.pk] if earlier else [])]
    marks: dict[int, list[Mark]] = {pk: [] for pk in wanted}
    for mark in Mark.objects.filter(entry__in=wanted):
        marks[mark.entry_id].append(mark)
    found = marks_view.build_context(case, notation)
    held = access.acts(user, case)
    rows = [
        with_offers(case, row, notation) if RAISE in held else row for row in found["mark_rows"]
    ]
    weighed = passes_view.weighed(case, entry, marks[entry.pk], notation)
    kept = weighed.kept if weighed else ()
    context = {
        **bench_context(case, user),
        "page_title": "Pass",
        "notation": notation,
        "entry": entry,
        "title": passes_view.title(case, entry),
        "said": passes_view.marks_in_words(marks[entry.pk], notation),
        "weighed": weighed,
        "earlier": earlier and passes_view.title(case, earlier),
        "changed": passes_view.changed(marks[entry.pk], marks[earlier.pk], notation)
        if earlier
        else [],
        "newest": newest,
        "is_newest": newest is not None and newest.pk == entry.pk,
        "mark_rows": [
            row for row in rows if row.mark.entry_id == entry.pk and row.mark.tooth not in kept
        ],
        "marks_rest_on": found["marks_rest_on"],
        "compared": explained_view.build_context(case, notation),
        "elsewhere": sorted({row.movement for row in rows if row.mark.entry_id != entry.pk}),
        "quick_mm": QUICK_MM,
        "excursions": Excursions.choices,
        "done_form": done_form,
        "done_mark": done_mark,
        "usual": passes.usual_next(case).label,
        "due": passes_view.due(case, notation),
        "pin_due": passes_view.pin_due(case),
        "pin_form": PinForm(),
        "pin_set_at": passes.pin_set_at(case),
        **more,
    }
    if done_form is not None and "refusal" not in more:
        context |= {"refusal": CORRECT, "refusal_form": done_form}
    context["can_edit"] = LOG in context["acts"] and entry.struck_at is None
    return render(request, "passes/seen.html", context, status=status)
