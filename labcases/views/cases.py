"""Finding a case by anything but a name, and opening a new one."""

from __future__ import annotations

import re
from dataclasses import dataclass

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from labcases import codes
from labcases.domain import access, lots, people, queries, signed_papers
from labcases.domain import case as cases_of
from labcases.domain import question as questions
from labcases.domain.case import NotLinked
from labcases.domain.queries import Line
from labcases.enums import ENDS, Notation
from labcases.forms.cases import CaseFilterForm, NewCaseForm
from labcases.models import Case, OfficeLink, User
from labcases.views._lookup import person
from labcases.views._pages import pager

CASES_A_PAGE = 50
_LIKE_A_PAPER = re.compile(r"-R\d+-[A-Za-z]{2}\s*$", re.IGNORECASE)


@dataclass(frozen=True)
class Found:
    """One case in the list, as this person may read it."""

    line: Line
    code: str
    for_office: bool
    unread: int = 0
    lots: str = ""
    """The lots of it that were looked for."""

    @property
    def state(self) -> str:
        """An office reads a plain state first; the stage stands under it."""
        if self.for_office and self.line.case.is_open:
            return f"{self.line.plain_state[:1].upper()}{self.line.plain_state[1:]}"
        return self.line.stage_words


@require_safe
def cases(request: HttpRequest) -> HttpResponse:
    """The list; its filters stand in the address. A whole code opens the case at once."""
    user = person(request)
    form = CaseFilterForm(request.GET, notation=_notation(user))
    context = {
        "page_title": "Cases",
        "form": form,
        "filtered": any(value for name, value in request.GET.items() if name != "page"),
        "opens_cases": bool(people.offices(user)),
        "opens_on_paper": bool(signed_papers.laboratories(user)),
    }
    if not form.is_valid():
        return render(request, "cases/cases.html", context, status=422)
    asked = form.asked()
    opened = _opened(request, user, asked.text)
    if opened is not None:
        return redirect("case", opened.code)
    rows = queries.search(user, asked)
    page = Paginator(
        queries.with_tooth(rows, asked.tooth) if asked.tooth else rows, CASES_A_PAGE
    ).get_page(request.GET.get("page"))
    offices = {one.pk for one in people.offices(user)}
    shown = queries.fetch(page, user)
    unread = questions.unread(user, shown)
    matched = lots.named_in(shown, asked.text)
    context |= {
        "found": [
            _found(row, offices, unread.get(row.pk, 0), matched.get(row.pk, "")) for row in shown
        ],
        "count": page.paginator.count,
        "pager": pager(request, page),
        "hint": _hint(asked.text),
    }
    return render(request, "cases/cases.html", context)


def _found(row: Case, offices: set[int], unread: int, matched: str) -> Found:
    for_office = row.office_id in offices
    return Found(queries.line(row), codes.grouped(row.code), for_office, unread, matched)


def _notation(user: User) -> str:
    """The notation of the person's own house; the first one if they have several."""
    houses = access.organisations(user)
    return str(houses[0].notation if houses else Notation.ISO_3950)


def _opened(request: HttpRequest, user: User, text: str) -> Case | None:
    """The case whose whole code was typed or scanned, from its paper or without."""
    try:
        code, revision, _kind = codes.parse_paper_code(text)
    except ValueError:
        code, revision = re.sub(r"[\s-]", "", text).upper(), None
    if not codes.is_valid(code):
        return None
    case = access.visible_cases(user).filter(code=code).first()
    if case is not None and revision is not None:
        _judge_paper(request, case, revision)
    return case


def _judge_paper(request: HttpRequest, case: Case, revision: int) -> None:
    """Say it when a paper was printed from another revision than the one in force."""
    in_force = case.prescription.revision
    if revision < in_force:
        messages.error(
            request,
            f"STALE PAPER. It was printed from revision R{revision:02d}; R{in_force:02d} is in "
            "force. Do not work from it: print it again and throw the old one away.",
        )
    elif revision > in_force:
        messages.error(
            request,
            f"The paper names revision R{revision:02d}, but R{in_force:02d} is in force. Ask who "
            "printed it before you work from it.",
        )


def _hint(text: str) -> str:
    """Why a text that looks like a code found nothing."""
    if _LIKE_A_PAPER.search(text):
        try:
            codes.parse_paper_code(text)
        except ValueError as error:
            return str(error)
    typed = re.sub(r"[\s-]", "", text).upper()
    if len(typed) != codes.LENGTH or not typed.isalnum() or codes.is_valid(typed):
        return ""
    try:
        codes.normalise(typed)
    except ValueError as error:
        return str(error)
    return (
        f"{text} looks like a case code, but its last character does not fit the others. Look at "
        "the paper again and type the 12 characters as printed."
    )


@require_http_methods(["GET", "POST"])
def case_new(request: HttpRequest) -> HttpResponse:
    """The office opens a case at a laboratory that has linked it, then writes the order."""
    user = person(request)
    offices = people.offices(user)
    if not offices:
        raise PermissionDenied
    links = (
        OfficeLink.objects.filter(office__in=offices, active=True)
        .select_related("office", "laboratory")
        .order_by("office__name", "laboratory__name")
    )
    form = NewCaseForm(request.POST if request.method == "POST" else None, links=links)
    if form.is_valid():
        try:
            case = cases_of.open_case(by=user, **form.values())
        except NotLinked as refused:
            form.add_error("link", str(refused))
        else:
            _mention_others(request, case)
            messages.success(request, f"Case {codes.grouped(case.code)} is open.")
            return redirect("prescription_step", case.code, "teeth")
    context = {"page_title": "Open a case", "form": form, "links": links}
    return render(request, "cases/new.html", context, status=422 if form.errors else 200)


def _mention_others(request: HttpRequest, case: Case) -> None:
    """Two arches are two cases, so a second one is no mistake, but it may be one."""
    others = case.patient.cases.exclude(pk=case.pk).exclude(stage__in=ENDS)
    if others:
        listed = ", ".join(codes.grouped(row.code) for row in others)
        messages.info(request, f"Patient {case.patient.code} has another open case: {listed}.")
