"""Opening a laboratory, inviting people, linking offices."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from labcases.enums import OrganisationKind, Role
from labcases.models import Invitation, Membership, OfficeLink, Organisation, User

INVITATION_DAYS = 7


class LinkSpent(Exception):
    """A one-time link that no longer works."""


@dataclass(frozen=True)
class Invited:
    """A new invitation and its secret, which is shown once and not stored."""

    invitation: Invitation
    secret: str


def open_laboratory(
    *, name: str, address: str = "", username: str, full_name: str, password: str
) -> User:
    """Open a laboratory with its first manager."""
    with transaction.atomic():
        laboratory = Organisation.objects.create(
            name=name, kind=OrganisationKind.LABORATORY, address=address
        )
        user = User.objects.create_user(username=username, password=password, full_name=full_name)
        Membership.objects.create(user=user, organisation=laboratory, role=Role.MANAGER)
    return user


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


def invite(
    *,
    organisation: Organisation,
    role: Role,
    invited_name: str,
    by: User,
    opens_office: bool = False,
) -> Invited:
    """Make a one-time link of 256 random bits; only its digest is kept."""
    secret = secrets.token_urlsafe(32)
    row = Invitation.objects.create(
        organisation=organisation,
        role=Role.DENTIST if opens_office else role,
        opens_office=opens_office,
        invited_name=invited_name,
        secret_digest=_digest(secret),
        created_by=by,
        expires_at=timezone.now() + timedelta(days=INVITATION_DAYS),
    )
    return Invited(row, secret)


def find_invitation(secret: str) -> Invitation:
    """The invitation behind a link.

    Raises
    ------
    LinkSpent
        It was used, withdrawn, has run out, or never existed; the text does not tell which.
    """
    row = (
        Invitation.objects.select_related("organisation")
        .filter(secret_digest=_digest(secret), used_at__isnull=True, withdrawn=False)
        .first()
    )
    if row is None or row.expires_at < timezone.now():
        raise LinkSpent("This link no longer works. Ask the person who sent it for a new one.")
    return row


def accept(
    *,
    secret: str,
    user: User | None = None,
    username: str = "",
    full_name: str = "",
    password: str = "",
    licence_number: str = "",
    office_name: str = "",
    office_address: str = "",
) -> User:
    """Follow a one-time link: as a new person, or as one who is already logged in.

    Raises
    ------
    LinkSpent
        Somebody followed it first.
    """
    with transaction.atomic():
        row = find_invitation(secret)
        if user is None:
            user = User.objects.create_user(
                username=username,
                password=password,
                full_name=full_name,
                licence_number=licence_number,
            )
        written = Invitation.objects.filter(pk=row.pk, used_at__isnull=True).update(
            used_at=timezone.now(), used_by=user
        )
        if not written:
            raise LinkSpent("This link was used a moment ago. Ask for a new one.")
        organisation = row.organisation
        if row.opens_office:
            organisation = Organisation.objects.create(
                name=office_name, kind=OrganisationKind.OFFICE, address=office_address
            )
            OfficeLink.objects.create(office=organisation, laboratory=row.organisation)
        membership, _new = Membership.objects.get_or_create(
            user=user, organisation=organisation, role=row.role
        )
        if not membership.active:
            membership.active = True
            membership.save(update_fields=["active"])
    return user


def withdraw(*, invitation: Invitation) -> None:
    Invitation.objects.filter(pk=invitation.pk, used_at__isnull=True).update(withdrawn=True)


def stop(*, membership: Membership) -> None:
    """End a membership; it counts from the person's next request on."""
    membership.active = False
    membership.save(update_fields=["active"])


def end_link(*, link: OfficeLink) -> None:
    """The office can open no new case at this laboratory; cases under way go on."""
    link.active = False
    link.save(update_fields=["active"])
