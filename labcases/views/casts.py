"""Casts and records of a case: each line entered once, read by all, struck out when wrong."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db.models import Model
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import casts, jaw_records
from labcases.forms.casts import CastForm, ImpressionForm, LogForm, LookForm, PieceForm, PourForm
from labcases.forms.jaw_records import JawRecordForm
from labcases.models import Case, Cast, CastLook, Impression, Piece, TakenRecord
from labcases.outputs import casts_view
from labcases.outputs.casts_view import LogRow
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, person
from labcases.views._striking import strike_line

WRITE = "bench work"

#: What may be entered on the page: the form, and the verb that keeps it.
ENTERED: dict[str, tuple[type[LogForm], Callable[..., Any]]] = {
    "impression": (ImpressionForm, casts.add_impression),
    "cast": (CastForm, casts.add_cast),
    "piece": (PieceForm, casts.add_piece),
    "record": (JawRecordForm, jaw_records.add),
}

#: What may be struck out: the model, and the verb that strikes.
STRUCK: dict[str, tuple[type[Model], Callable[..., Any]]] = {
    "impression": (Impression, casts.strike),
    "cast": (Cast, casts.strike),
    "look": (CastLook, casts.strike),
    "piece": (Piece, casts.strike),
    "record": (TakenRecord, jaw_records.strike),
}

#: The logs of the page, in the order of the work.
SECTIONS: tuple[tuple[str, str, str, Callable[[Case], list[LogRow]]], ...] = (
    ("impression", "Impressions", "No impression is entered yet.", casts_view.impressions),
    ("cast", "Casts", "No cast is entered yet.", casts_view.cast_rows),
    ("piece", "Trays, bases and rims", "Nothing is entered yet.", casts_view.pieces),
    ("record", "Jaw records", "No jaw record is entered yet.", casts_view.jaw_record_rows),
)

KEPT = {
    "impression": "The impression is entered.",
    "cast": "The cast is entered. Inspect it below.",
    "piece": "It is entered.",
    "record": "The jaw record is entered.",
}


@require_http_methods(["GET", "POST"])
def casts_page(request: HttpRequest, code: str) -> HttpResponse:
    """Show what is entered; POST enters one line."""
    case = acting_case(request, code, WRITE)
    if request.method == "GET":
        return _page(request, case)
    what = request.POST.get("what", "")
    if what not in ENTERED:
        return _page(request, case, 422, refusal="Open the form of what you enter, and fill it in.")
    kind, keep = ENTERED[what]
    form = kind(request.POST, case=case)
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    keep(case=case, by=person(request), values=form.values())
    messages.success(request, KEPT[what])
    return redirect("casts", case.code)


@require_POST
def pour(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Say when an impression was poured."""
    case = case_for(request, code, WRITE)
    row = get_object_or_404(Impression, pk=pk, case=case)
    form = PourForm(request.POST, row=row)
    if not form.is_valid():
        return _page(request, case, 422, row_form=form, open_row=f"impression{row.pk}")
    try:
        casts.pour(row=row, at=form.cleaned_data["poured_at"], by=person(request))
    except casts.AlreadyPoured as refused:
        return _page(request, case, 409, refusal=str(refused))
    messages.success(request, "The pour is entered.")
    return redirect("casts", case.code)


@require_POST
def look(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Enter what an inspection of a cast found."""
    case = case_for(request, code, WRITE)
    cast = get_object_or_404(Cast, pk=pk, case=case)
    form = LookForm(request.POST, case=case, cast_pk=cast.pk)
    if not form.is_valid():
        return _page(request, case, 422, row_form=form, open_row=f"cast{cast.pk}")
    if cast.struck_at:
        return _page(request, case, 409, refusal="This cast is struck out. Inspect another one.")
    casts.look_at(cast=cast, by=person(request), values=form.values())
    messages.success(request, "The inspection is entered.")
    return redirect("casts", case.code)


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
        then="casts",
        key=f"{what}{pk}",
        box=f"id_strike_{what}{pk}",
    )


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: LogForm | None = None,
    row_form: LogForm | None = None,
    open_row: str = "",
    **more: Any,
) -> HttpResponse:
    head = head_context(case, person(request))
    can_edit = WRITE in head["acts"]
    context = {
        **head,
        "page_title": "Casts and records",
        "cautions": [*casts.cautions(case), *jaw_records.cautions(case)],
        "disinfected": casts_view.disinfected(case),
        "listed_times": casts_view.listed_times(),
        "sections": [
            {
                "id": what,
                "title": title,
                "empty": empty,
                "rows": [
                    {"line": line, "act": _act(line, row_form, open_row) if can_edit else None}
                    for line in rows(case)
                ],
                "form": _form(what, case, form) if can_edit else None,
            }
            for what, title, empty, rows in SECTIONS
        ],
        "form": form,
        "row_form": row_form,
        "can_edit": can_edit,
        "refused": bool(form or row_form or more),
        **more,
    }
    return render(request, "casts/page.html", context, status=status)


def _form(what: str, case: Case, refused: LogForm | None) -> LogForm:
    """The form of a kind of line; the one that was refused keeps what was typed."""
    return refused if refused and refused.what == what else ENTERED[what][0](case=case)


def _act(line: LogRow, refused: LogForm | None, open_row: str) -> dict[str, Any] | None:
    """What may still be said of a line: when it was poured, or how it was found."""
    if line.struck or not (line.can_pour or line.can_look):
        return None
    code, pk = line.row.case.code, line.row.pk
    is_open = open_row == line.key
    if line.can_pour:
        return {
            "summary": "Poured",
            "url": reverse("cast_pour", args=[code, pk]),
            "button": "Enter the pour",
            "form": refused if is_open else PourForm(row=line.row),
            "open": is_open,
        }
    return {
        "summary": "Inspect",
        "url": reverse("cast_look", args=[code, pk]),
        "button": "Enter the inspection",
        "form": refused if is_open else LookForm(case=line.row.case, cast_pk=pk),
        "open": is_open,
    }
