"""Writing a prescription in short steps, checking it, signing and revising it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from labcases.domain import (
    access,
    cautions,
    gates,
    on_paper,
    paper_offices,
    people,
    prescription,
    signed_papers,
)
from labcases.domain.gates import Missing
from labcases.domain.prescription import AlreadySigned, BeingConfirmed, NotReady, TooLateToRevise
from labcases.domain.versions import EditConflict
from labcases.enums import PrescriptionStatus
from labcases.forms.base import PartForm
from labcases.forms.chart import ChartForm
from labcases.forms.prescription import REMAINING, STEP_OF, STEP_TITLES, STEPS
from labcases.forms.signature import SignForm
from labcases.models import Case, Prescription, User
from labcases.views import _answers, _conflict, _usual, _weighing
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, link_to, notation_for, person
from labcases.views._signature import signature

WRITE = "write a prescription"
ORDER = tuple(STEPS)


@require_http_methods(["GET", "POST"])
def step(request: HttpRequest, code: str, step: str) -> HttpResponse:
    """One step of the draft: look, fill, save; then on to the next or stop."""
    if step not in STEPS:
        raise Http404
    case = _writing_case(request, code)
    user = person(request)
    row = case.draft_revision
    context = head_context(case, user)
    if row is None or not signed_papers.may_write(user, case):
        if request.method == "POST":
            messages.error(request, _SIGNED)
        return redirect("prescription", case.code)
    form_class = STEPS[step]
    conflict: _conflict.Conflict | None = None
    status = 200
    if request.method == "POST":
        form = form_class(request.POST, instance=row)
        status = 422
        if form.is_valid():
            try:
                prescription.save(row=row, version=form.started_from, by=user, values=form.values())
            except EditConflict as found:
                conflict = _clashes(found, form)
                status = 409
                form.show_stored(found.stored.version)
            except AlreadySigned:
                messages.error(request, _SIGNED)
                return redirect("prescription", case.code)
            except BeingConfirmed as refusal:
                messages.error(request, str(refusal))
                return redirect("prescription_check", case.code)
            else:
                return _after(request, case, step, form)
        case = _writing_case(request, code)
        row = case.draft_revision or row
    else:
        form = form_class(instance=row)
    missing = _missing(case, row, user)
    context |= {
        "page_title": "Write a prescription",
        "form": form,
        "conflict": conflict,
        "step": step,
        "step_title": STEP_TITLES[step],
        "steps": _steps(case, step, missing),
        "number": ORDER.index(step) + 1,
        "total": len(ORDER) + 1,
        "missing": [item for item in missing if item["step"] == step],
        "cautions": cautions.of_material(row, row.tooth_material) if step == "materials" else [],
        "notation": notation_for(user, case),
        "row": row,
    }
    if step == "materials" and WRITE in context["acts"]:
        # What a paper leaves open stays open: no defaults of the person who types it.
        context["usual"] = _usual.offered(case, user)
    if isinstance(form, ChartForm):
        context["drawing"] = _answers.picture(
            form.chart_arch,
            form.marked(),
            context["notation"],
            links=True,
        )
        context["marks"] = form.marks.choices
    return render(
        request, f"prescription/{_TEMPLATES.get(step, 'step')}.html", context, status=status
    )


def _writing_case(request: HttpRequest, code: str) -> Case:
    """The office writes a draft, and the laboratory one that it types from a signed paper."""
    case = case_for(request, code)
    if request.method == "POST" and not signed_papers.may_write(person(request), case):
        raise PermissionDenied
    return case


_TEMPLATES = {"teeth": "chart", "opposing": "chart", "before": "before"}
_SIGNED = "This revision is signed and does not change. Start the next revision."


def _clashes(found: EditConflict, form: PartForm) -> _conflict.Conflict:
    """Both values; of a chart only the positions that differ."""
    shown = _conflict.shown(found, {*form.fields, *form.together, *_answers.CHARTS})
    rows = []
    for row in shown.rows:
        if row.name in _answers.CHARTS:
            yours, stored = found.yours[row.name], getattr(found.stored, row.name)
            teeth = _answers.differing(yours, stored)
            row = replace(
                row,
                label=_answers.CHART_LABELS[row.name],
                yours=_marks(row.name, yours, teeth),
                stored=_marks(row.name, stored, teeth),
            )
        elif row.name in STEP_OF:
            row = replace(row, label=_answers.label_of(row.name))
        rows.append(row)
    return replace(shown, rows=rows)


def _marks(field: str, chart: dict[str, str], teeth: list[str]) -> str:
    return "; ".join(
        f"{tooth} {_answers.in_chart(field, chart.get(tooth, '')).lower()}" for tooth in teeth
    )


def _after(request: HttpRequest, case: Case, step: str, form: PartForm) -> HttpResponse:
    """Where a saved step leads: the same page, the next one, or back to the case."""
    here = reverse("prescription_step", args=[case.code, step])
    if isinstance(form, ChartForm) and request.POST.get("fill"):
        said = "position was" if form.filled == 1 else "positions were"
        all_of_them = request.POST["fill"] == REMAINING or getattr(form, "fills_all", False)
        kind = "" if all_of_them else "open "
        messages.success(request, f"Saved. {form.filled} {kind}{said} marked.")
        return redirect(f"{here}#id_{form.chart_name}")
    if isinstance(form, ChartForm) and form.arch_changed:
        messages.warning(
            request, "Saved. The arch is another one now, so both tooth charts are empty again."
        )
        return redirect(f"{here}#id_{form.chart_name}")
    messages.success(request, f"{STEP_TITLES[step]}: saved.")
    if request.POST.get("go") in _usual.ACTS and access.may(person(request), WRITE, case):
        _usual.act(request, case)
        return redirect(f"{here}#usual")
    if request.POST.get("go") == "stop":
        return redirect("case", case.code)
    if step == ORDER[-1]:
        return redirect("prescription_check", case.code)
    return redirect("prescription_step", case.code, ORDER[ORDER.index(step) + 1])


def _missing(case: Case, row: Prescription, user: User) -> list[dict[str, str]]:
    return [
        {
            "text": item.text,
            "url": link_to(case, _mended_by(user, case, item)),
            "link": "Go there",
            "step": STEP_OF.get(item.field, ""),
        }
        for item in gates.to_sign(row)
    ]


def _mended_by(user: User, case: Case, item: Missing) -> Missing:
    """The address of the office is changed by its dentist; anybody else asks for it."""
    if item.part != "office" or people.roles_to_invite(user, case.office):
        return item
    if paper_offices.may_change(user, case.office):
        return replace(item, part="paper_office")
    return replace(item, part="questions", field="")


def _steps(case: Case, current: str, missing: list[dict[str, str]]) -> list[dict[str, Any]]:
    lacking = {item["step"] for item in missing}
    return [
        {
            "label": STEP_TITLES[step],
            "url": reverse("prescription_step", args=[case.code, step]),
            "done": step not in lacking,
            "current": step == current,
        }
        for step in ORDER
    ] + [
        {
            "label": "Check and sign",
            "url": reverse("prescription_check", args=[case.code]),
            "done": False,
            "current": current == "check",
        }
    ]


@require_safe
def check(request: HttpRequest, code: str) -> HttpResponse:
    """Every answer in words, what is missing, and the signature."""
    case = case_for(request, code)
    row = case.draft_revision
    if row is None:
        return redirect("prescription", case.code)
    user = person(request)
    form = SignForm(request, user, initial={"version": row.version})
    return _check_page(request, case, row, form)


@require_POST
def sign(request: HttpRequest, code: str) -> HttpResponse:
    """Sign what was read: the version on the page, with the password again."""
    case = acting_case(request, code, "sign")
    user = person(request)
    row = case.draft_revision
    if row is None:
        messages.error(request, _SIGNED)
        return redirect("prescription", case.code)
    form = SignForm(request, user, request.POST)
    if not form.is_valid():
        return _check_page(request, case, row, form, status=422)
    try:
        signed = prescription.sign(
            row=row,
            version=form.cleaned_data["version"],
            by=user,
            signed_name=form.cleaned_data["signed_name"],
            licence_number=form.cleaned_data["licence_number"],
        )
    except NotReady:
        return _check_page(request, case, row, form, status=422)
    except EditConflict as found:
        messages.error(
            request,
            f"Not signed: {found.stored.changed_by} saved the prescription while you read it. "
            "Read the answers again, then sign.",
        )
        return redirect("prescription_check", case.code)
    except (AlreadySigned, TooLateToRevise) as refusal:
        messages.error(request, str(refusal))
        return redirect("prescription", case.code)
    messages.success(request, f"Revision {signed.revision} is signed and in force.")
    return redirect("case", case.code)


def _check_page(
    request: HttpRequest, case: Case, row: Prescription, form: SignForm, status: int = 200
) -> HttpResponse:
    user = person(request)
    notation = notation_for(user, case)
    context = head_context(case, user)
    missing = _missing(case, row, user)
    writes = signed_papers.may_write(user, case)
    context |= {
        "page_title": "Check the prescription",
        "paper": on_paper.of_draft(row),
        "row": row,
        "form": form,
        "sections": _answers.sections(row, notation, change=writes),
        "missing": missing,
        "cautions": cautions.of_material(row, row.tooth_material),
        "profiles": _weighing.profiled(case, row),
        **_weighing.to_send(case),
        "steps": _steps(case, "check", missing),
        **_weighing.advised(case, row),
        "number": len(ORDER) + 1,
        "total": len(ORDER) + 1,
        "can_write": writes,
        "can_sign": "sign" in context["acts"] and not missing,
        **_later(case, row, notation),
    }
    return render(request, "prescription/check.html", context, status=status)


def _later(case: Case, row: Prescription, notation: str) -> dict[str, Any]:
    """What a revision after the first changes, and what signing it undoes."""
    before = case.prescription
    if before.pk == row.pk or before.status != PrescriptionStatus.SIGNED:
        return {}
    undone = prescription.undoing(row, before)
    return {
        "before": before,
        "changes": _answers.changes(row, before, undone.fields, notation),
        "back_to": undone.to,
    }


@require_safe
def overview(request: HttpRequest, code: str) -> HttpResponse:
    """The revision in force with its signature, and what a later draft changes."""
    case = case_for(request, code)
    user = person(request)
    row = case.prescription
    notation = notation_for(user, case)
    context = head_context(case, user)
    draft = case.draft_revision
    context |= {
        "page_title": "Prescription",
        "row": row,
        "draft": draft,
        "signature": signature(row),
        "sections": _answers.sections(row, notation, change=False),
        "cautions": cautions.of_material(row, row.tooth_material),
        "profiles": _weighing.profiled(case, row),
        **_weighing.to_send(case),
        "revisions": [
            (one, on_paper.signature(one)) for one in case.prescriptions.select_related("signed_by")
        ],
        "can_write": signed_papers.may_write(user, case),
        "paper": on_paper.of_draft(draft) if draft else None,
        "can_type": signed_papers.TYPE in context["acts"]
        and (draft is None or draft.version == 1)
        and prescription.may_revise(case),
        "can_revise": WRITE in context["acts"] and prescription.may_revise(case),
        **(_later(case, draft, notation) if draft else {}),
    }
    return render(request, "prescription/overview.html", context)


@require_POST
def revise(request: HttpRequest, code: str) -> HttpResponse:
    """Start the next revision as a copy of the one in force."""
    case = acting_case(request, code, WRITE)
    try:
        row = prescription.revise(case=case, by=person(request))
    except TooLateToRevise as refusal:
        messages.error(request, str(refusal))
        return redirect("prescription", case.code)
    messages.success(
        request,
        f"Revision {row.revision} is open. The signed one stays in force until this is signed.",
    )
    return redirect("prescription_step", case.code, ORDER[0])
