"""Photographs and papers of a case: the page, and the only way to the stored pictures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from labcases.domain import access
from labcases.domain import files as attached
from labcases.forms.files import AttachmentForm, TakeOutForm
from labcases.models import Attachment, Case
from labcases.views._head import head_context
from labcases.views._lookup import acting_case, case_for, person

ADD = "add a photograph or paper"
AGREE = "confirm the patient's agreement"


@dataclass(frozen=True)
class Shown:
    """One line of the page, with what this person may do with it."""

    row: Attachment
    held_back: bool
    may_agree: bool
    take_out: TakeOutForm | None


@require_http_methods(["GET", "POST"])
def files(request: HttpRequest, code: str) -> HttpResponse:
    """What the case holds; POST adds."""
    case = acting_case(request, code, ADD)
    if request.method == "GET":
        return _page(request, case)
    form = AttachmentForm(request.POST, request.FILES, of_office=_of_office(request, case))
    if not form.is_valid():
        return _page(request, case, 422, form=form)
    try:
        row = attached.add(case=case, by=person(request), **form.values())
    except attached.NotAccepted as refused:
        form.add_error("upload", str(refused))
        return _page(request, case, 422, form=form)
    messages.success(request, f"Added: {row.words}.")
    return redirect("files", case.code)


@require_safe
def file(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """A whole picture, for those who may see it."""
    return _picture(request, code, pk, small=False)


@require_safe
def file_small(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Its small version, under the same rule."""
    return _picture(request, code, pk, small=True)


@require_POST
def file_agree(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """The office confirms that the patient agreed to showing this face to the laboratory."""
    case = case_for(request, code, AGREE)
    row = get_object_or_404(Attachment, pk=pk, case=case)
    if not row.of_the_face:
        return _page(request, case, 422, refusal="Only a face needs the patient's agreement.")
    if row.removed_at:
        return _page(request, case, 409, refusal="Somebody took this out of view meanwhile.")
    attached.agree(attachment=row, by=person(request))
    messages.success(request, "The agreement is noted. The laboratory sees the photograph now.")
    return redirect("files", case.code)


@require_POST
def file_take_out(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Take one out of view, with a reason."""
    case = case_for(request, code, ADD)
    row = get_object_or_404(Attachment, pk=pk, case=case)
    if row.removed_at:
        return _page(request, case, 409, refusal="Somebody else took this out of view already.")
    if not attached.may_take_out(person(request), row):
        raise PermissionDenied("The person who added it takes it out, or a dentist or manager.")
    form = TakeOutForm(request.POST, auto_id=_ids(row))
    if not form.is_valid():
        return _page(request, case, 422, taking_out=(row, form))
    try:
        attached.take_out(attachment=row, reason=form.cleaned_data["reason"], by=person(request))
    except attached.AlreadyTakenOut as refused:
        return _page(request, case, 409, refusal=str(refused))
    messages.success(request, "It is out of view. The reason stands below.")
    return redirect("files", case.code)


def _picture(request: HttpRequest, code: str, pk: int, *, small: bool) -> HttpResponse:
    case = case_for(request, code)
    row = get_object_or_404(Attachment, pk=pk, case=case)
    if row.removed_at:
        raise Http404
    if not attached.may_see(person(request), row):
        raise PermissionDenied("The office has not confirmed yet that the patient agreed.")
    try:
        data = attached.content(row, small=small)
    except attached.FileLost as lost:
        context = {**head_context(case, person(request)), "text": str(lost)}
        return render(request, "files/lost.html", context, status=410)
    name = f"{case.code}-{row.pk}{'-small' if small else ''}.jpg"
    return HttpResponse(data, content_type=row.content_type, headers=_headers(name))


def _headers(name: str) -> dict[str, str]:
    """A picture and nothing else, whatever a browser makes of the bytes; for our own pages."""
    policy = {**settings.CONTENT_SECURITY_POLICY, "sandbox": ""}
    return {
        "Content-Disposition": f'inline; filename="{name}"',
        "Content-Security-Policy": "; ".join(
            f"{key} {value}".strip() for key, value in policy.items()
        ),
        "Cross-Origin-Resource-Policy": "same-origin",
        "X-Content-Type-Options": "nosniff",
    }


def _of_office(request: HttpRequest, case: Case) -> bool:
    return bool(access.positions(person(request), case) & access.OFFICE)


def _ids(row: Attachment) -> str:
    """Several reasons may stand open on one page; their fields keep apart by this."""
    return f"id_file{row.pk}_%s"


def _page(
    request: HttpRequest,
    case: Case,
    status: int = 200,
    *,
    form: AttachmentForm | None = None,
    taking_out: tuple[Attachment, TakeOutForm] | None = None,
    **more: Any,
) -> HttpResponse:
    user = person(request)
    head = head_context(case, user)
    rows = list(
        case.attachments.select_related("by", "agreement_by", "removed_by").prefetch_related(
            "signed_papers"
        )
    )
    held = access.positions(user, case)
    refused = {taking_out[0].pk: taking_out[1]} if taking_out else {}
    context = {
        **head,
        "page_title": "Photographs and papers",
        "shown": [
            Shown(
                row,
                held_back=not attached.may_see(user, row, held),
                may_agree=row.held_back and AGREE in head["acts"],
                take_out=refused.get(row.pk, TakeOutForm(auto_id=_ids(row)))
                if attached.may_take_out(user, row, held)
                else None,
            )
            for row in rows
            if row.removed_at is None
        ],
        "taken_out": [row for row in rows if row.removed_at],
        "taking_out": taking_out[0].pk if taking_out else None,
        "refused_form": form or (taking_out[1] if taking_out else None),
        "form": form or AttachmentForm(of_office=_of_office(request, case)),
        **more,
    }
    return render(request, "files/files.html", context, status=status)
