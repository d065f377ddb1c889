"""Sites: what callipers read, row by row, and the height budget that follows from it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases import notation as numbers
from labcases.domain import (
    bench,
    calculations,
    checks,
    ledger,
    opponent,
    over_eruption,
    reductions,
    site_values,
    teeth,
)
from labcases.domain.calculations.inputs import CALLIPER
from labcases.domain.versions import EditConflict
from labcases.enums import CheckKind, Notation
from labcases.forms.sites import SharedForm, SiteForm, ToothForm, with_shared, with_ticked
from labcases.models import Case, SiteMeasure
from labcases.templatetags.units import signed_mm, tooth_number
from labcases.views import _conflict, _opposite
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, notation_for, person

WORK = "bench work"

# The height budget's verdicts with the status mark of each.
GLYPHS = {
    "ample": "done",
    "fits": "done",
    "short": "warning",
    "not measured": "not yet",
    "no antagonist": "ended",
}


@dataclass
class SavedRows:
    """What became of the rows that were posted."""

    forms: list[ToothForm]
    conflicts: list[tuple[str, _conflict.Conflict]]
    saved: list[str]

    @property
    def refused(self) -> bool:
        return any(form.touched and form.errors for form in self.forms)


def _stored(case: Case) -> dict[str, SiteMeasure]:
    return {row.tooth: row for row in case.sites.select_related("changed_by")}


def _form(case: Case, tooth: str, stored: dict[str, SiteMeasure], data: Any = None) -> ToothForm:
    row = stored.get(tooth) or SiteMeasure(case=case, tooth=tooth)
    is_site = tooth in teeth.posterior_sites(case.prescription)
    return (SiteForm if is_site else ToothForm)(data, instance=row, prefix=tooth)


def _places(case: Case) -> list[str]:
    """Every tooth that may be read: the sites, teeth that stay beside them, the other arch."""
    row = case.prescription
    return [*teeth.posterior_sites(row), *teeth.staying(row), *teeth.opposing(row)]


@require_http_methods(["GET", "POST"])
def sites(request: HttpRequest, code: str) -> HttpResponse:
    """Enter the sites of a case; every row is saved on its own."""
    case = acting_case(request, code, WORK)
    places = _places(case)
    if request.method != "POST":
        stored = _stored(case)
        return _page(request, case, [_form(case, tooth, stored) for tooth in places])
    shared = SharedForm(request.POST, instance=SiteMeasure(case=case), prefix="all")
    if not shared.is_valid():
        stored = _stored(case)
        forms = [_form(case, tooth, stored, request.POST) for tooth in places]
        return _page(request, case, forms, shared=shared, status=422)
    done = _save(request, case, places)
    rows = ", ".join(done.saved)
    if not done.refused and not done.conflicts:
        messages.success(
            request, f"Saved: {rows}." if rows else "Nothing had changed, so nothing was saved."
        )
        return redirect("sites", case.code)
    if rows:
        messages.success(request, f"Saved: {rows}.")
    case = acting_case(request, code, WORK)
    return _page(
        request, case, done.forms, conflicts=done.conflicts, status=422 if done.refused else 409
    )


@require_POST
def take_over(request: HttpRequest, code: str) -> HttpResponse:
    """Take a height that the prescription says over for callipers that have read none."""
    case = case_for(request, code, WORK)
    tooth = request.POST.get("tooth", "")
    try:
        row = bench.take_over_height(case=case, tooth=tooth, by=person(request))
    except (bench.NothingToTakeOver, EditConflict) as refused:
        messages.error(request, str(refused))
    else:
        shown = tooth_number(tooth, notation_for(person(request), case))
        messages.success(
            request,
            f"{shown}: tips {signed_mm(row.tip_height_mm)} from the curve, as the prescription "
            "says of the plane.",
        )
    return redirect("sites", case.code)


def _save(request: HttpRequest, case: Case, places: list[str]) -> SavedRows:
    """Save each row that was touched; a row that fails keeps what was typed."""
    wanted = teeth.posterior_sites(case.prescription)
    opposed = [t for t in wanted if teeth.antagonist(case.prescription, t) is not None]
    data = with_shared(with_ticked(request.POST, opposed), wanted)
    stored, notation = _stored(case), Notation(notation_for(person(request), case))
    done = SavedRows([], [], [])
    for tooth in places:
        form = _form(case, tooth, stored, data)
        form.notation = notation
        done.forms.append(form)
        if not form.touched or not form.is_valid():
            continue
        try:
            row = bench.save_site(
                case=case,
                tooth=tooth,
                version=form.started_from,
                by=person(request),
                values=form.values(),
            )
        except EditConflict as found:
            form.show_stored(found.stored.version)
            done.conflicts.append((tooth, _clash(found, form)))
        else:
            done.saved.append(form.row_name)
            done.forms[-1] = _form(case, tooth, {tooth: row})
    return done


def _clash(found: EditConflict, form: ToothForm) -> _conflict.Conflict:
    shown = _conflict.shown(found, form.fields)
    rows = [
        replace(
            row,
            name=f"{form.prefix}-{row.name}",
            label=f"{form.row_name}: {str(SiteForm.base_fields[row.name].label).lower()}",
        )
        for row in shown.rows
    ]
    return replace(shown, rows=rows)


def _kind(case: Case, tooth: str) -> str:
    return str(teeth.kind(case.prescription, tooth).label).lower()


def _may_tick(case: Case, tooth: str, stored: dict[str, SiteMeasure]) -> bool:
    """Whether one tap may say that a site is ample: an opposing tooth, and no space read."""
    row = stored.get(tooth)
    open_site = row is None or (not row.ample and row.space_mm is None)
    return open_site and teeth.antagonist(case.prescription, tooth) is not None


def _was_read(stored: dict[str, SiteMeasure], tooth: str) -> bool:
    row = stored.get(tooth)
    return row is not None and any(getattr(row, name) is not None for name in CALLIPER)


def _page(
    request: HttpRequest,
    case: Case,
    forms: list[ToothForm],
    *,
    shared: SharedForm | None = None,
    conflicts: list[tuple[str, _conflict.Conflict]] | None = None,
    status: int = 200,
) -> HttpResponse:
    user = person(request)
    context = head_context(case, user)
    notation = notation_for(user, case)
    for form in forms:
        form.notation = Notation(notation)
    budget = calculations.height_budget(case)
    allowed = reductions.allowed(case)
    stored = _stored(case)
    read = [
        (stored[tooth], _kind(case, tooth)) for tooth in _places(case) if _was_read(stored, tooth)
    ]
    context |= {
        "page_title": "Sites",
        "forms": [form for form in forms if isinstance(form, SiteForm)],
        "calliper_rows": [(form, _kind(case, str(form.prefix))) for form in forms],
        "shared": shared or SharedForm(instance=SiteMeasure(case=case), prefix="all"),
        "conflicts": conflicts or [],
        "refused": [
            {"tooth": form.row_name, "field": field, "text": error}
            for form in forms
            for field in form
            for error in field.errors
        ],
        "can_edit": WORK in context["acts"],
        "budget": budget,
        "rows": [
            {
                "row": row,
                "glyph": GLYPHS[row.verdict],
                "allowed": allowed.get(row.tooth),
                "finding": row.finding
                and _opposite.in_numbers(row.finding, numbers.opposing(row.tooth), notation),
            }
            for row in budget.rows
        ],
        "opposite": {
            "kind": opponent.words(case.prescription),
            "being_made": opponent.of(case.prescription) in opponent.BEING_MADE,
            "findings": _opposite.findings(case, notation),
            "request": over_eruption.REQUEST,
        },
        "kept": checks.latest(case, CheckKind.HEIGHT),
        "counts": [
            (SiteForm.base_fields[name].label, one)
            for name, one in site_values.defaults(case).items()
        ],
        "may_tick": [
            form.prefix
            for form in forms
            if isinstance(form, SiteForm) and _may_tick(case, str(form.prefix), stored)
        ],
        "agreed_mm": ledger.agreed_mm(case),
        "measured": [
            stored[tooth] for tooth in teeth.posterior_sites(case.prescription) if tooth in stored
        ],
        "read": read,
        "callipers_open": bool(read)
        or any(set(form.errors) & set(CALLIPER) for form in forms)
        or any(
            row.name.rpartition("-")[2] in CALLIPER for _, c in conflicts or [] for row in c.rows
        ),
        "notation": notation,
    }
    return render(request, "sites/page.html", context, status=status)
