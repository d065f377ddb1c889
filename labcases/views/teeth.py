"""The denture teeth chosen for a case."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from labcases.domain import bench, calculations, cautions, gates
from labcases.domain.teeth import replaced
from labcases.forms.teeth import SelectionForm, with_taken
from labcases.models import Case, ToothSelection, User
from labcases.views import _reading, _teeth_in_hand
from labcases.views._answers import in_full
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, notation_for, person
from labcases.views._part import Part, part_page
from labcases.views._teeth_in_hand import Refused

LONGEST_MOULD = 80


def _row(case: Case) -> ToothSelection:
    """The stored selection, or a new one that starts from what was prescribed."""
    stored: ToothSelection | None = getattr(case, "selection", None)
    if stored:
        return stored
    prescribed = case.prescription
    return ToothSelection(
        case=case,
        shade=prescribed.shade,
        anterior_mould=prescribed.mould[:LONGEST_MOULD],
        material=prescribed.tooth_material,
    )


def _beside(
    case: Case, user: User, looked: dict[str, str], refused: Refused | None = None
) -> dict[str, Any]:
    return {
        **_read(case, user, looked, refused),
        "advice": calculations.selection_advice(case, _row(case)),
    }


def _read(
    case: Case, user: User, looked: dict[str, str], refused: Refused | None = None
) -> dict[str, Any]:
    """What the page shows but for the proposals."""
    row: ToothSelection | None = getattr(case, "selection", None)
    prescribed = case.prescription
    material = row.material if row else prescribed.tooth_material
    return {
        "pairs": _reading.pairs(row, SelectionForm),
        "missing": _reading.gaps(case, gates.teeth_in_hand(case)),
        "differences": _reading.differences(
            row, case, {"shade": "shade", "material": "tooth_material"}
        ),
        "cautions": cautions.of_material(prescribed, material),
        "prescribed": prescribed,
        "to_set": [in_full(tooth, notation_for(user, case)) for tooth in replaced(prescribed)],
        "in_hand": _teeth_in_hand.context(
            case, user, notation_for(user, case), looked=looked, refused=refused
        ),
    }


PART = Part(
    title="Teeth",
    act="bench work",
    form=SelectionForm,
    row_of=_row,
    save=bench.save_selection,
    template="teeth/page.html",
    then="teeth",
    saved="Tooth selection saved.",
)


def looked_for(request: HttpRequest) -> dict[str, str]:
    """The shade and mould that the address asks the shelf for."""
    return {name: request.GET.get(name, "").strip()[:80] for name in ("shade", "mould")}


@require_http_methods(["GET", "POST"])
def selection(request: HttpRequest, code: str) -> HttpResponse:
    """Enter which teeth were chosen; below, where each set of them stands."""
    if request.method == "POST" and ("take" in request.POST or "propose" in request.POST):
        return _tried(request, code)
    return part_page(
        request, code, replace(PART, beside=partial(_beside, looked=looked_for(request)))
    )


def page(
    request: HttpRequest,
    case: Case,
    status: int,
    *,
    refused: Refused | None = None,
    refusal: str = "",
) -> HttpResponse:
    """The same page after something about the teeth in hand was refused."""
    user = person(request)
    head = head_context(case, user)
    context = {
        **head,
        "page_title": PART.title,
        "form": SelectionForm(instance=_row(case)),
        "can_edit": PART.act in head["acts"],
        "refusal": refusal,
        **_beside(case, user, looked_for(request), refused),
    }
    return render(request, PART.template, context, status=status)


def _tried(request: HttpRequest, code: str) -> HttpResponse:
    """Show the proposals for what was typed, or put one into its box; nothing is saved."""
    case = acting_case(request, code, PART.act)
    user = person(request)
    data, taken = with_taken(request.POST, request.POST.get("take", ""))
    form = SelectionForm(data, instance=_row(case))
    status = 200 if form.is_valid() else 422
    # The form has put what was typed into its row; the case is read afresh for the rest.
    advice = calculations.selection_advice(case, form.instance)
    case = acting_case(request, code, PART.act)
    context = {
        **head_context(case, user),
        "page_title": PART.title,
        "form": form,
        "can_edit": True,
        "tried": True,
        "taken": form[taken] if taken else None,
        **_read(case, user, {"shade": "", "mould": ""}),
        "advice": advice,
    }
    return render(request, PART.template, context, status=status)
