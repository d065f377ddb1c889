"""The tooth stock of a laboratory: looking through it, adding, changing and counting sets."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from labcases.domain import access, stock
from labcases.domain.stock import Asked, SameSet
from labcases.domain.versions import EditConflict
from labcases.forms.stock import SetForm, StockSearchForm
from labcases.models import Organisation, ToothSet
from labcases.views import _conflict
from labcases.views._lookup import person
from labcases.views._pages import pager
from labcases.views.organisation import laboratory_for

SETS_A_PAGE = 50
LINES_SHOWN = 100


@require_safe
def stock_list(request: HttpRequest, pk: int) -> HttpResponse:
    """Sets on the shelves, filtered by what stands in the address."""
    one = laboratory_for(person(request), pk, stock.may_keep)
    form = StockSearchForm(request.GET)
    asked = form.asked() if form.is_valid() else Asked()
    page = Paginator(stock.search(one, asked), SETS_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page_title": "Tooth stock",
        "organisation": one,
        "form": form,
        "found": page,
        "count": page.paginator.count,
        "filtered": asked != Asked(),
        "any_set": one.tooth_sets.exists(),
        "pager": pager(request, page),
    }
    return render(request, "stock/stock.html", context)


@require_http_methods(["GET", "POST"])
def stock_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a new kind of set on the shelf."""
    user = person(request)
    one = laboratory_for(user, pk, stock.may_keep)
    form = SetForm(request.POST if request.method == "POST" else None, instance=ToothSet())
    if request.method == "POST" and form.is_valid():
        try:
            row = stock.add(laboratory=one, by=user, values=form.values())
        except SameSet as told:
            return _add_page(request, one, form, 409, same=told)
        messages.success(request, f"{row} is in the stock, {row.count} on the shelf.")
        return redirect("stock_set", row.pk)
    return _add_page(request, one, form, 422 if form.errors else 200)


def _add_page(
    request: HttpRequest, one: Organisation, form: SetForm, status: int, same: SameSet | None = None
) -> HttpResponse:
    context = {
        "page_title": "Add a set to the stock",
        "organisation": one,
        "form": form,
        **_same(same),
    }
    return render(request, "stock/add.html", context, status=status)


def _same(same: SameSet | None) -> dict[str, Any]:
    """The refusal with the way to the row that holds this kind of set already."""
    if same is None:
        return {}
    url = reverse("stock_set", args=[same.stored.pk])
    item = {"text": "It stands in the stock.", "url": url, "link": "Open that set"}
    return {"refusal": str(same), "refusal_items": [item]}


@require_http_methods(["GET", "POST"])
def stock_set(request: HttpRequest, pk: int) -> HttpResponse:
    """One kind of set: change or count it, and read every line of its log."""
    user = person(request)
    row = get_object_or_404(
        ToothSet.objects.select_related("laboratory"),
        pk=pk,
        laboratory__in=access.organisations(user),
    )
    one = laboratory_for(user, row.laboratory_id, stock.may_keep)
    if request.method != "POST":
        return _set_page(request, one, row, SetForm(instance=row), 200)
    form = SetForm(request.POST, instance=ToothSet.objects.get(pk=pk))
    if not form.is_valid():
        return _set_page(request, one, row, form, 422)
    try:
        stock.change(
            row=row,
            version=form.started_from,
            by=user,
            values=form.values(),
            why=form.cleaned_data["why"],
        )
    except ValueError as asked:
        form.add_error("why", str(asked))
        return _set_page(request, one, row, form, 422)
    except SameSet as told:
        return _set_page(request, one, row, form, 409, **_same(told))
    except EditConflict as found:
        conflict = _conflict.shown(found, form.fields)
        form.show_stored(found.stored.version)
        row.refresh_from_db()
        return _set_page(request, one, row, form, 409, conflict=conflict)
    messages.success(request, "Saved.")
    return redirect("stock_set", pk)


def _set_page(
    request: HttpRequest, one: Organisation, row: ToothSet, form: SetForm, status: int, **more: Any
) -> HttpResponse:
    lines = row.lines.select_related("by", "case").order_by("-id")[:LINES_SHOWN]
    context = {
        "page_title": f"Set {row.line} {row.mould}",
        "organisation": one,
        "row": row,
        "form": form,
        "lines": [(line, _changes(line.changes)) for line in lines],
        **more,
    }
    return render(request, "stock/set.html", context, status=status)


def _changes(told: dict[str, list[Any]]) -> list[str]:
    return [
        f"{label}: {_plain(before)} to {_plain(after)}" for label, (before, after) in told.items()
    ]


def _plain(value: Any) -> str:
    return "nothing" if value in ("", None) else str(value)
