"""Offices that send paper: entered by a laboratory, until a dentist of theirs logs in."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from labcases.domain import paper_offices, people
from labcases.domain.paper_offices import HasPeople
from labcases.forms.organisation import LinkOfficeForm
from labcases.forms.paper_offices import PaperOfficeForm
from labcases.models import Organisation
from labcases.views._lookup import person
from labcases.views.organisation import organisation_for


@require_http_methods(["GET", "POST"])
def paper_office_new(request: HttpRequest, pk: int) -> HttpResponse:
    """A laboratory enters an office in which nobody logs in, and links it at once."""
    user = person(request)
    one = organisation_for(user, pk)
    if not people.may_link(user, one):
        raise PermissionDenied
    form = PaperOfficeForm(_posted(request), button="Add the office")
    if form.is_valid():
        office = paper_offices.add(laboratory=one, by=user, **form.values())
        messages.success(
            request, f"{office} is linked. You can open a case for it from a signed paper now."
        )
        return redirect("organisation", one.pk)
    context = {
        "page_title": "Add an office that sends paper",
        "organisation": one,
        "form": form,
    }
    return render(request, "organisation/form.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
def paper_office(request: HttpRequest, pk: int) -> HttpResponse:
    """What stands for the office, its dentists, and the links for those who shall log in."""
    user = person(request)
    office, laboratory = _office_for(request, pk)
    form = PaperOfficeForm(_posted(request), office=office, button="Save")
    if form.is_valid():
        try:
            paper_offices.change(office=office, by=user, **form.values())
        except HasPeople as refused:
            messages.error(request, str(refused))
        else:
            messages.success(request, "Saved.")
        return redirect("organisation", laboratory.pk)
    context = {
        "page_title": f"{office}, on paper",
        "organisation": laboratory,
        "office": office,
        "form": form,
        "invitations": paper_offices.open_invitations(office),
    }
    status = 422 if form.errors else 200
    return render(request, "organisation/paper_office.html", context, status=status)


@require_http_methods(["GET", "POST"])
def paper_office_invite(request: HttpRequest, pk: int) -> HttpResponse:
    """A one-time link for a dentist of the office."""
    office, laboratory = _office_for(request, pk)
    form = LinkOfficeForm(_posted(request))
    form.fields["invited_name"].help_text = (
        f"With the link the dentist comes into {office}, sees its cases and signs by log-in. From "
        "then on the office looks after itself."
    )
    context: dict[str, Any] = {"organisation": laboratory, "form": form}
    if not form.is_valid():
        context["page_title"] = f"Invite a dentist of {office}"
        status = 422 if form.errors else 200
        return render(request, "organisation/form.html", context, status=status)
    name = form.cleaned_data["invited_name"]
    try:
        made = paper_offices.invite(office=office, invited_name=name, by=person(request))
    except HasPeople as refused:
        messages.error(request, str(refused))
        return redirect("organisation", laboratory.pk)
    context |= {
        "page_title": f"The link for {name}",
        "comes_into": office,
        "invitation": made.invitation,
        "link": request.build_absolute_uri(reverse("join", args=[made.secret])),
        "days": people.INVITATION_DAYS,
    }
    return render(request, "organisation/link.html", context, status=201)


def _office_for(request: HttpRequest, pk: int) -> tuple[Organisation, Organisation]:
    """An office on paper of one of the person's own laboratories; others are not there."""
    office = get_object_or_404(Organisation, pk=pk)
    user = person(request)
    laboratory = paper_offices.laboratory_of(user, office)
    if laboratory is None or not paper_offices.is_on_paper(office):
        raise Http404
    if not paper_offices.may_change(user, office):
        raise PermissionDenied
    return office, laboratory


def _posted(request: HttpRequest) -> Any:
    return request.POST if request.method == "POST" else None
