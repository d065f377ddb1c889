"""An organisation: its people, open invitations and the houses it works with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from labcases.domain import (
    access,
    bench_devices,
    bench_keys,
    bench_minutes,
    calendars,
    curing_cycles,
    devices,
    label_sizes,
    mounting,
    paper_offices,
    people,
    profiles,
    public_holidays,
    shades,
    stock,
)
from labcases.enums import HouseDayKind, Role
from labcases.forms.organisation import InviteForm, LinkOfficeForm, OrganisationForm
from labcases.models import Invitation, Membership, OfficeLink, Organisation, User
from labcases.views._lookup import person


@dataclass(frozen=True)
class RoleHeld:
    """One role of a member, and whether the reader may end it."""

    membership: Membership
    may_stop: bool


def organisation_for(user: User, pk: int) -> Organisation:
    """One of the person's own organisations; any other is as good as not there."""
    found = [one for one in access.organisations(user) if one.pk == pk]
    if not found:
        raise Http404
    return found[0]


def laboratory_for(user: User, pk: int, may: Callable[[User, Organisation], bool]) -> Organisation:
    """A laboratory of one's own in which one may do this; an office is as good as not there."""
    one = organisation_for(user, pk)
    if not one.is_laboratory:
        raise Http404
    if not may(user, one):
        raise PermissionDenied
    return one


@require_safe
def organisation(request: HttpRequest, pk: int) -> HttpResponse:
    """Everybody inside reads it; those in charge see the buttons as well."""
    user = person(request)
    one = organisation_for(user, pk)
    roles = people.roles_to_invite(user, one)
    may_link = people.may_link(user, one)
    invitations = one.invitations.filter(
        used_at__isnull=True, withdrawn=False, expires_at__gt=timezone.now()
    ).select_related("created_by")
    context = {
        "page_title": one.name,
        "organisation": one,
        "profile": profiles.profile_of(one),
        "shades": shades.systems(one) if one.is_office else {},
        "limits": mounting.limits_of(one) if one.is_laboratory else None,
        "labels": label_sizes.chosen(one) if one.is_laboratory else None,
        "week_words": calendars.week_words(one),
        "closed_days": one.days.filter(on__gte=calendars.today_of(one)).exclude(
            kind=HouseDayKind.OPEN
        ),
        "region": public_holidays.region_of(one),
        "may_keep": calendars.may_keep(user, one),
        "members": _members(one, roles),
        "may_invite": bool(roles),
        "may_link": may_link,
        "in_charge": bool(roles or may_link),
        "keeps_stock": stock.may_keep(user, one),
        "reads_quality": one.is_laboratory and access.may_in(user, "read the quality", one),
        "reads_load": bench_minutes.may_read(user, one),
        "lists_devices": access.may_in(user, "list devices", one) and bool(devices.asks(one)),
        "keeps_cycles": curing_cycles.may_keep(user, one),
        "keeps_bench": bench_devices.may_keep(user, one),
        "at_bench": bench_keys.may_have(user),
        "kinds": one.tooth_sets.count(),
        "invitations": [
            (row, may_link if row.opens_office else row.role in roles) for row in invitations
        ],
        "offices": [
            (link, paper_offices.is_on_paper(link.office))
            for link in one.office_links.filter(active=True)
            .select_related("office")
            .order_by("office__name")
        ],
        "laboratories": one.laboratory_links.filter(active=True)
        .select_related("laboratory")
        .order_by("laboratory__name"),
    }
    return render(request, "organisation/organisation.html", context)


def _members(one: Organisation, roles: tuple[Role, ...]) -> dict[User, list[RoleHeld]]:
    found: dict[User, list[RoleHeld]] = {}
    rows = one.memberships.filter(active=True).select_related("user")
    for row in rows.order_by("user__full_name", "user_id", "role"):
        found.setdefault(row.user, []).append(RoleHeld(row, row.role in roles))
    return found


@require_http_methods(["GET", "POST"])
def organisation_change(request: HttpRequest, pk: int) -> HttpResponse:
    """Name, address, tooth numbers and paper size."""
    user = person(request)
    one = organisation_for(user, pk)
    if not people.roles_to_invite(user, one):
        raise PermissionDenied
    form = OrganisationForm(_posted(request), instance=Organisation.objects.get(pk=pk))
    if form.is_valid():
        people.change_organisation(organisation=one, by=user, **form.values())
        messages.success(request, "Saved.")
        return redirect("organisation", pk)
    return _form_page(request, one, form, f"Change what stands for {one}")


@require_http_methods(["GET", "POST"])
def invite(request: HttpRequest, pk: int) -> HttpResponse:
    """A one-time link for one person and one role."""
    user = person(request)
    one = organisation_for(user, pk)
    roles = people.roles_to_invite(user, one)
    if not roles:
        raise PermissionDenied
    form = InviteForm(_posted(request), roles=roles)
    if form.is_valid():
        role = Role(form.cleaned_data["role"])
        return _link_page(request, one, role, form.cleaned_data["invited_name"])
    return _form_page(request, one, form, f"Invite a person into {one}")


@require_http_methods(["GET", "POST"])
def link_office(request: HttpRequest, pk: int) -> HttpResponse:
    """A one-time link with which a dentist brings an office to this laboratory."""
    user = person(request)
    one = organisation_for(user, pk)
    if not people.may_link(user, one):
        raise PermissionDenied
    form = LinkOfficeForm(_posted(request))
    if form.is_valid():
        name = form.cleaned_data["invited_name"]
        return _link_page(request, one, Role.DENTIST, name, opens_office=True)
    return _form_page(request, one, form, f"Link an office to {one}")


def _posted(request: HttpRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


def _form_page(request: HttpRequest, one: Organisation, form: Any, title: str) -> HttpResponse:
    context = {"page_title": title, "organisation": one, "form": form}
    status = 422 if form.errors else 200
    return render(request, "organisation/form.html", context, status=status)


def _link_page(
    request: HttpRequest, one: Organisation, role: Role, name: str, *, opens_office: bool = False
) -> HttpResponse:
    """Show the link in the answer itself: it is stored nowhere, so no later page has it."""
    made = people.invite(
        organisation=one,
        role=role,
        invited_name=name,
        by=person(request),
        opens_office=opens_office,
    )
    context = {
        "page_title": f"The link for {name}",
        "organisation": one,
        "invitation": made.invitation,
        "link": request.build_absolute_uri(reverse("join", args=[made.secret])),
        "days": people.INVITATION_DAYS,
    }
    return render(request, "organisation/link.html", context, status=201)


@require_http_methods(["GET", "POST"])
def invitation_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Take an open invitation back."""
    user = person(request)
    row = get_object_or_404(Invitation.objects.select_related("organisation"), pk=pk)
    looked_after = paper_offices.may_change(user, row.organisation)
    one = row.organisation if looked_after else organisation_for(user, row.organisation_id)
    if not (looked_after or people.may_withdraw(user, row)):
        raise PermissionDenied
    if request.method == "POST":
        people.withdraw(invitation=row, by=user)
        messages.success(request, f"The link for {row.invited_name} no longer works.")
        return redirect("paper_office" if looked_after else "organisation", one.pk)
    return _confirm(
        request,
        one,
        title="Withdraw the invitation",
        sentence=f"The invitation for {row.invited_name} as {row.get_role_display().lower()}.",
        effects=["The link stops working at once.", "You can make a new one at any time."],
        back=reverse("paper_office", args=[one.pk]) if looked_after else "",
    )


@require_http_methods(["GET", "POST"])
def link_end(request: HttpRequest, pk: int) -> HttpResponse:
    """End the link between an office and this laboratory."""
    user = person(request)
    row = get_object_or_404(
        OfficeLink.objects.select_related("office", "laboratory").filter(active=True), pk=pk
    )
    one = organisation_for(user, row.laboratory_id)
    if not people.may_link(user, one):
        raise PermissionDenied
    if request.method == "POST":
        people.end_link(link=row, by=user)
        messages.success(request, f"{row.office} can open no new case here.")
        return redirect("organisation", one.pk)
    return _confirm(
        request,
        one,
        title="End the link",
        sentence=f"{row.office} sends cases to {row.laboratory}.",
        effects=[
            f"{row.office} can open no new case at {row.laboratory}.",
            "Cases under way go on, and both houses still see them.",
        ],
        danger=True,
    )


def _confirm(
    request: HttpRequest,
    one: Organisation,
    *,
    title: str,
    sentence: str,
    effects: list[str],
    danger: bool = False,
    back: str = "",
) -> HttpResponse:
    context = {
        "page_title": title,
        "sentence": sentence,
        "effects": effects,
        "danger": danger,
        "back": back or reverse("organisation", args=[one.pk]),
    }
    return render(request, "confirm.html", context)
