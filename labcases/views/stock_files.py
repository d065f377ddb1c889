"""Taking a file into the tooth stock after it was looked at, and saving the stock as one."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from labcases.domain import access, stock, stock_files
from labcases.domain.stock_files import ACTS, NotTakenIn
from labcases.domain.stock_table import COLUMNS, MAY_BE_EMPTY, Unreadable
from labcases.forms.stock_files import StockFileForm
from labcases.models import StockFile
from labcases.outputs import stock_csv
from labcases.views import _sent
from labcases.views._lookup import person
from labcases.views._pages import pager
from labcases.views.organisation import laboratory_for

ROWS_A_PAGE = 100
TITLES = {
    stock_files.REFUSED: "Refused",
    stock_files.NEW: "New",
    stock_files.CHANGED: "Changed",
    stock_files.SAME: "The same",
}


@require_http_methods(["GET", "POST"])
def choose(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose a file; nothing is taken in before it was looked at."""
    user = person(request)
    one = laboratory_for(user, pk, stock.may_keep)
    posted = request.method == "POST"
    form = StockFileForm(request.POST, request.FILES) if posted else StockFileForm()
    if posted and form.is_valid():
        try:
            file = stock_files.look(laboratory=one, content=form.cleaned_data["upload"], by=user)
        except Unreadable as refused:
            form.add_error("upload", str(refused))
        else:
            return redirect("stock_file", file.pk)
    context = {
        "page_title": "Take a file into the tooth stock",
        "organisation": one,
        "form": form,
        "columns": [(name, name in MAY_BE_EMPTY) for name in COLUMNS],
    }
    return render(request, "stock/choose.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
def look(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what each row would do; POST takes the file in as it was shown."""
    user = person(request)
    file = get_object_or_404(
        StockFile.objects.select_related("laboratory", "taken_in_by"),
        pk=pk,
        laboratory__in=access.organisations(user),
    )
    one = laboratory_for(user, file.laboratory_id, stock.may_keep)
    if request.method != "POST":
        return _page(request, file)
    try:
        counts = stock_files.take_in(file=file, digest=request.POST.get("digest", ""), by=user)
    except NotTakenIn as refused:
        file.refresh_from_db()
        return _page(request, file, 409, refusal=str(refused))
    messages.success(
        request,
        f"The file is taken in: {counts['new']} new, {counts['changed']} changed, "
        f"{counts['same']} the same.",
    )
    return redirect("stock", one.pk)


def _page(
    request: HttpRequest, file: StockFile, status: int = 200, refusal: str = ""
) -> HttpResponse:
    context = {
        "page_title": "What the file would do",
        "organisation": file.laboratory,
        "file": file,
        "refusal": refusal,
    }
    if file.taken_in_at is None:
        plan = stock_files.plan(file)
        show = request.GET.get("show", "")
        rows = [one for one in plan.outcomes if not show or one.act == show]
        page = Paginator(rows, ROWS_A_PAGE).get_page(request.GET.get("page"))
        counts = plan.counts
        context |= {
            "counts": [(act, TITLES[act], counts[act]) for act in ACTS],
            "show": show,
            "found": [(one, TITLES[one.act]) for one in page],
            "pager": pager(request, page),
            "refused": counts[stock_files.REFUSED],
            "changes_nothing": plan.changes_nothing,
            "digest": plan.digest,
        }
    return render(request, "stock/file.html", context, status=status)


@require_safe
def export(request: HttpRequest, pk: int) -> HttpResponse:
    """The whole stock in the columns that a file taken in has."""
    one = laboratory_for(person(request), pk, stock.may_keep)
    return _sent.table(stock_csv.content(one), f"tooth-stock-{timezone.localdate():%Y-%m-%d}.csv")
