"""The set-up log: progress, passes, vertical, and a small form for each act."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import access, bench, files, ledger, next_lines
from labcases.domain.bench import NotADentureTooth
from labcases.domain.striking import AlreadyStruck
from labcases.enums import SetUpAct
from labcases.forms.setup import ASKED, LineForm, StrikeForm, typed
from labcases.models import Case, SetUpEntry
from labcases.outputs import ledger_view, progress_view, setup_view
from labcases.templatetags.units import tooth_number
from labcases.views._approval import say_if_trimmed_otherwise
from labcases.views._head import bench_context
from labcases.views._lookup import acting_case, case_for, notation_for, person

LOG = "bench work"


@dataclass(frozen=True)
class Tap:
    """One button that logs a line as it reads: its words, and what it posts."""

    words: str
    posts: dict[str, str]


@dataclass(frozen=True)
class Card:
    """A line that is usual now: its buttons, and its form or the page that it is entered on."""

    title: str
    why: str
    taps: list[Tap]
    form: LineForm | None
    open: bool
    url: str
    teeth: str


@require_http_methods(["GET", "POST"])
def setup(request: HttpRequest, code: str) -> HttpResponse:
    """Show the log; POST adds one line to it."""
    case = acting_case(request, code, LOG)
    if request.method == "GET":
        return _page(request, case)
    if request.POST.get("act") not in {act.value for act in ASKED}:
        return _page(request, case, 422, refusal="Choose what was done, then fill its boxes.")
    user = person(request)
    act = SetUpAct(request.POST["act"])
    form = LineForm(request.POST, act=act, case=case, notation=notation_for(user, case))
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    try:
        bench.log(case=case, by=user, values=form.values())
    except NotADentureTooth as refused:
        return _page(request, case, 422, refusal=str(refused))
    messages.success(request, f"Logged: {act.label.lower()}.")
    if advice := form.advice():
        messages.warning(request, advice)
    return redirect("setup", case.code)


@require_POST
def strike(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Strike one line out; it stays readable with the reason beside it."""
    case = case_for(request, code, LOG)
    entry = get_object_or_404(SetUpEntry, pk=pk, case=case)
    form = StrikeForm(request.POST, auto_id=f"id_strike{entry.pk}_%s")
    if not form.is_valid():
        return _page(request, case, 422, strike_form=form, striking=entry.pk)
    try:
        bench.strike(entry=entry, reason=form.cleaned_data["reason"], by=person(request))
    except AlreadyStruck as refused:
        return _page(request, case, 409, refusal=str(refused))
    messages.success(request, "The line is struck out. It stays readable below.")
    if entry.act == SetUpAct.TRIMMED:
        say_if_trimmed_otherwise(request, case)
    return redirect("setup", case.code)


def _cards(case: Case, notation: str, refused: LineForm | None) -> list[Card]:
    """What is usual now; a form that was refused stays with what was typed into it."""
    found = []
    for line in next_lines.of(case):
        form = None
        if not line.page:
            same = refused is not None and refused.act == line.act
            form = (
                refused
                if same
                else LineForm(
                    act=line.act,
                    case=case,
                    notation=notation,
                    initial=dict(typed(line.initial, notation)),
                )
            )
        found.append(
            Card(
                title=str(line.act.label),
                why=line.why,
                taps=[_tap(line.act, one, notation) for one in line.ready],
                form=form,
                open=not line.ready or (form is not None and form is refused),
                url=reverse(line.page, args=[case.code]) if line.page else "",
                teeth=" ".join(tooth_number(tooth, notation) for tooth in line.teeth),
            )
        )
    return found


def _tap(act: SetUpAct, ready: next_lines.Ready, notation: str) -> Tap:
    posts = typed(ready.values, notation)
    words = f"{ready.words}: {posts['teeth']}" if "teeth" in posts else ready.words
    return Tap(words, {"act": act.value, **posts})


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
    cards = _cards(case, notation, form)
    shown = {card.form.act for card in cards if card.form}
    held = access.positions(user, case)
    context = {
        **bench_context(case, user),
        "page_title": "Set-up",
        "notation": notation,
        "glance": progress_view.glance(case, notation),
        "passes": setup_view.passes(case, notation),
        "vertical": setup_view.vertical(ledger.balance(case)),
        **ledger_view.build_context(case, notation),
        "lines": setup_view.lines(
            case, notation, lambda photograph: files.may_see(user, photograph, held)
        ),
        "form": form,
        "cards": cards,
        "folded_forms": [
            form if form and form.act == act else LineForm(act=act, case=case, notation=notation)
            for act in ASKED
            if act not in shown
        ],
        **more,
    }
    context["can_edit"] = LOG in context["acts"]
    return render(request, "setup/setup.html", context, status=status)
