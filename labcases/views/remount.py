"""The remount: where the pin stands, what is proposed, a small form an act, and its checklist."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import remount as remounting
from labcases.domain.bench import NotADentureTooth
from labcases.domain.remount import NotLogged
from labcases.enums.remount import RemountAct
from labcases.forms.remount import FORMS, LineForm, RemountCheckForm
from labcases.models import Case, RemountCheck, RemountEntry, User
from labcases.outputs import remount_view, tryin_view
from labcases.reference.remount import remount_checklist
from labcases.views import _conflict
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, notation_for, person
from labcases.views._part import Part, part_page
from labcases.views._striking import strike_line

LOG = "bench work"


@require_http_methods(["GET", "POST"])
def remount(request: HttpRequest, code: str) -> HttpResponse:
    """Show the remount; POST adds one line to it."""
    case = acting_case(request, code, LOG)
    if request.method == "GET":
        return _page(request, case)
    if request.POST.get("act") not in RemountAct.values:
        return _page(request, case, 422, refusal="Choose what was done, then fill its boxes.")
    user = person(request)
    act = RemountAct(request.POST["act"])
    form = FORMS[act](request.POST, case=case, notation=notation_for(user, case))
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    try:
        remounting.log(case=case, by=user, values=form.values())
    except (NotLogged, NotADentureTooth) as refused:
        return _page(request, case, 422, form=form, refusal=str(refused))
    messages.success(request, f"Logged: {act.label.lower()}.")
    return redirect("remount", case.code)


@require_POST
def strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Strike one line out; it stays readable with the reason beside it."""
    case = case_for(request, code, LOG)
    entry = get_object_or_404(RemountEntry, pk=pk, case=case)
    return strike_line(
        request, case, entry, verb=remounting.strike, page=_page, then="remount", key=entry.pk
    )


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: LineForm | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    notation = notation_for(user, case)
    check: RemountCheck | None = getattr(case, "remount_check", None)
    context = {
        **head_context(case, user),
        "page_title": "Remount",
        "place": "bench",
        "notation": notation,
        **remount_view.build_context(case, notation),
        "lines": remount_view.lines(case, notation),
        "form": form,
        "forms": [
            form if form and form.act == act else made(case=case, notation=notation)
            for act, made in FORMS.items()
        ],
        "check_open": len(remounting.silent(check)),
        "check_no": len(remounting.refused(check)),
        **more,
    }
    context["can_edit"] = LOG in context["acts"]
    return render(request, "remount/remount.html", context, status=status)


def _check_row(case: Case) -> RemountCheck:
    return RemountCheck.objects.filter(case=case).first() or RemountCheck(case=case)


def _beside(case: Case, _user: User) -> dict[str, Any]:
    row = _check_row(case)
    pauses = [tryin_view.answered(one, row.answers, row.words) for one in remount_checklist()]
    return {"row": row, "current": {"pauses": pauses} if row.pk else None}


CHECK = Part(
    title="Remount checklist",
    act=LOG,
    form=RemountCheckForm,
    row_of=_check_row,
    save=remounting.save_check,
    template="remount/check.html",
    then="remount",
    saved="The remount checklist is saved.",
    beside=_beside,
    readable=_conflict.of_lines,
)


@require_http_methods(["GET", "POST"])
def remount_check(request: HttpRequest, code: str) -> HttpResponse:
    """Answer the lines of the checklist before the denture comes off its cast."""
    return part_page(request, code, CHECK)
