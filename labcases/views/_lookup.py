"""Finding the case of a request, or the same 404 for everything that is not visible."""

from __future__ import annotations

from typing import cast

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest
from django.urls import reverse

from labcases.domain import access, paper_offices, people
from labcases.domain.erasing import Restricted
from labcases.domain.gates import Missing
from labcases.enums.wax import WaxList
from labcases.forms.prescription import STEP_OF
from labcases.models import Case, Organisation, User

# Where a missing thing is mended: the part that a gate names -> the URL's name.
PAGES = {
    "arrival": "arrival",
    "bench_check": "bench_check",
    "box": "boxes",
    "box_new": "box_new",
    "boxes": "boxes",
    "case": "case",
    "casts": "casts",
    "check": "check",
    "dates": "dates",
    "delivery": "delivery",
    "files": "files",
    "final_wax": "final_wax",
    "handoff": "handoff",
    "incidents": "incidents",
    "linked": "linked",
    "mounting": "mounting",
    "passes": "passes",
    "prescription": "prescription",
    "processing": "processing",
    "proposals": "proposals",
    "questions": "questions",
    "finishing": "finishing",
    "release": "release",
    "remount": "remount",
    "remake": "remake",
    "remount_check": "remount_check",
    "review_decide": "review_decide",
    "reviews": "reviews",
    "settings": "settings",
    "setup": "setup",
    "sign": "prescription_check",
    "sites": "sites",
    "statement": "statement",
    "surgery": "surgery",
    "teeth": "teeth",
    "try_in": "try_in",
}


def office_form(user: User, office: Organisation) -> str:
    """Where a person changes what stands for an office; empty for who may not."""
    if paper_offices.may_change(user, office):
        return reverse("paper_office", args=[office.pk])
    if people.roles_to_invite(user, office):
        return reverse("organisation_change", args=[office.pk])
    return ""


WAX_LISTS = {f"wax_{which.value}": which.value for which in WaxList}

# Rows that stand once beside a case, and lists of rows.
PARTS = (
    *("mounting", "articulator", "selection", "final_wax", "remount_check", "finishing"),
    "release",
    "delivery",
)
# What a case is a remake of; the other way stands on the page of the reviews.
REMAKE = ("remake_of__old",)
LISTS = (
    "prescriptions",
    "proposals",
    "questions",
    "setup_entries",
    "remount_entries",
    "statements",
    "sites",
    "tooth_supplies",
    "try_ins",
    "attachments",
    "bench_checks__done_by",
    "bench_checks__try_in",
    "boxes__items__disinfections",
    "boxes__items__settlements",
)


#: What of a restricted case is still read: what is kept and why, the bundle, and the statement.
KEPT_PAGES = ("erasure", "bundle")
KEPT_PAPER_PAGES = ("paper", "paper_pdf")
KEPT_PAPERS = ("device-statement",)


def person(request: HttpRequest) -> User:
    """The logged-in person; views that need nobody do not call this."""
    return cast(User, request.user)


def case_for(request: HttpRequest, code: str, act: str = "see a case") -> Case:
    """The case behind a code, for one act of the access table.

    Raises
    ------
    Http404
        No such case, or one of another organisation: the answer is the same.
    PermissionDenied
        A case of one's own, but the act is not for one's role.
    """
    cases = access.visible_cases(person(request)).select_related("office", "laboratory", "patient")
    if request.method == "GET":
        # A page only reads, so what it reads again and again may be fetched once.
        cases = cases.select_related(*PARTS, *REMAKE).prefetch_related(*LISTS)
    # PostgreSQL takes no NUL in a text, not even to look for it.
    case = None if "\x00" in code else cases.filter(code=code).first()
    if case is None:
        raise Http404
    if not access.may(person(request), act, case):
        raise PermissionDenied
    if case.restricted and not _kept_in_view(request):
        raise Restricted(case.code)
    return case


def _kept_in_view(request: HttpRequest) -> bool:
    """Whether a page is one of the few that stay when erasure was asked for."""
    match = request.resolver_match
    name = match.url_name if match else ""
    if name in KEPT_PAPER_PAGES and match:
        return str(match.kwargs.get("kind", "")) in KEPT_PAPERS
    return name in KEPT_PAGES


def acting_case(request: HttpRequest, code: str, act: str) -> Case:
    """Everybody who sees a case may look at a page; only the act's roles may post to it."""
    return case_for(request, code, act if request.method == "POST" else "see a case")


def notation_for(user: User, case: Case) -> str:
    """The tooth notation of the organisation that a person works on a case for."""
    in_office = access.positions(user, case) & {access.D, access.O}
    return str(case.office.notation if in_office else case.laboratory.notation)


def link_to(case: Case, missing: Missing) -> str:
    """The address of the page, and of the field on it, that mends a missing thing."""
    if missing.part == "prescription" and missing.field in STEP_OF:
        url = reverse("prescription_step", args=[case.code, STEP_OF[missing.field]])
    elif missing.part in WAX_LISTS:
        url = reverse("final_wax_checklist", args=[case.code, WAX_LISTS[missing.part]])
    elif missing.part == "paper_office":
        url = reverse("paper_office", args=[case.office_id])
    elif missing.part == "office":
        url = reverse("organisation_change", args=[case.office_id])
    else:
        url = reverse(PAGES[missing.part], args=[case.code])
    return f"{url}#id_{missing.field}" if missing.field else url


def number_of(text: str) -> int | None:
    """The whole number of a hidden field or an address; nothing where it is none, or too large."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else None
