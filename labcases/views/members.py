"""One person of a house: their roles there, changed or ended by those who hand them out."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from labcases.domain import access, people, roles
from labcases.domain.roles import LastInCharge
from labcases.enums import Role
from labcases.forms.members import RolesForm
from labcases.models import Membership, Organisation, User
from labcases.views._lookup import person
from labcases.views.organisation import organisation_for


def _person_of(
    request: HttpRequest, pk: int, user_pk: int
) -> tuple[Organisation, User, tuple[Role, ...]]:
    """House and person, and the roles that the reader hands out there."""
    reader = person(request)
    one = organisation_for(reader, pk)
    rows = Membership.objects.filter(organisation=one, user=user_pk, active=True)
    found = rows.select_related("user").first()
    if found is None:
        raise Http404
    may = people.roles_to_invite(reader, one)
    if not may:
        raise PermissionDenied
    return one, found.user, may


@require_http_methods(["GET", "POST"])
def member(request: HttpRequest, pk: int, user_pk: int) -> HttpResponse:
    """Which roles a person has; those in charge change them."""
    one, whom, may = _person_of(request, pk, user_pk)
    held = roles.held(whom, one)
    posted = request.POST if request.method == "POST" else None
    form = RolesForm(posted, roles=may, held=[role for role in held if role in may])
    if form.is_valid():
        try:
            after = roles.change(
                person=whom, organisation=one, wanted=form.roles(), among=may, by=person(request)
            )
        except LastInCharge as refused:
            form.add_error("wanted", str(refused))
        else:
            words = ", ".join(role.label.lower() for role in after)
            messages.success(request, f"{whom} is {words} here, from the next page on.")
            return _away(request, one)
    context = {
        "page_title": f"{whom} at {one}",
        "organisation": one,
        "member": whom,
        "others": [role for role in held if role not in may],
        "form": form,
    }
    status = 422 if form.errors else 200
    return render(request, "organisation/member.html", context, status=status)


@require_http_methods(["GET", "POST"])
def member_stop(request: HttpRequest, pk: int, user_pk: int) -> HttpResponse:
    """End every role of a person that the reader hands out."""
    one, whom, may = _person_of(request, pk, user_pk)
    if request.method == "POST":
        try:
            after = roles.change(
                person=whom, organisation=one, wanted=(), among=may, by=person(request)
            )
        except LastInCharge as refused:
            messages.error(request, str(refused))
            return redirect("organisation", one.pk)
        if after:
            messages.success(request, f"{whom} keeps what others hand out here.")
        else:
            messages.success(request, f"{whom} is stopped here.")
        return _away(request, one)
    context = {
        "page_title": "Stop the person",
        "sentence": f"{whom} has these roles of {one}: "
        f"{', '.join(role.label.lower() for role in roles.held(whom, one))}.",
        "effects": [
            f"From the next page on {whom} sees and does nothing here.",
            "What they signed and did stays in the history of every case.",
            "A new invitation brings them back.",
        ],
        "danger": True,
        "back": reverse("member", args=[one.pk, whom.pk]),
    }
    return render(request, "confirm.html", context)


@require_http_methods(["GET", "POST"])
def membership_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """End one role of one person."""
    user = person(request)
    row = get_object_or_404(
        Membership.objects.select_related("organisation", "user").filter(active=True), pk=pk
    )
    one = organisation_for(user, row.organisation_id)
    if row.role not in people.roles_to_invite(user, one):
        raise PermissionDenied
    role = row.get_role_display().lower()
    if request.method == "POST":
        try:
            roles.stop(membership=row, by=user)
        except LastInCharge as refused:
            messages.error(request, str(refused))
            return redirect("organisation", one.pk)
        messages.success(request, f"{row.user} is no longer {role} here.")
        return _away(request, one)
    context = {
        "page_title": "Stop the role",
        "sentence": f"{row.user} is {role} of {one}.",
        "effects": [
            f"{row.user} loses what a {role} sees and does here, from the next page on.",
            "What they signed and did stays in the history of every case.",
            "A new invitation brings them back.",
        ],
        "danger": True,
        "back": reverse("organisation", args=[one.pk]),
    }
    return render(request, "confirm.html", context)


def _away(request: HttpRequest, one: Organisation) -> HttpResponse:
    """To the page of the house, or to the first page where it is no longer the reader's."""
    still_here = one in access.organisations(person(request))
    return redirect("organisation", one.pk) if still_here else redirect("home")
