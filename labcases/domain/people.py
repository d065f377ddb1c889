"""Opening a laboratory, inviting people, linking offices."""

from __future__ import annotations

import hashlib
import logging
import secrets
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from types import EllipsisType
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from labcases.domain import access, house_history, label_sizes, profiles, shades
from labcases.domain import after_care as after_care_sheet
from labcases.enums import Notation, OrganisationKind, PaperSize, Role
from labcases.models import Invitation, Membership, OfficeLink, Organisation, User
from labcases.reference.labels import LabelSize

INVITATION_DAYS = 7

# Who came, went and was linked: numbers only, names stand in the database.
log = logging.getLogger(__name__)


class LinkSpent(Exception):
    """A one-time link that no longer works."""


class NameTaken(Exception):
    """Somebody took the user name a moment ago."""


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


def offices(user: User) -> list[Organisation]:
    """The offices in which a person works as dentist or at the front desk."""
    found = access.organisations(user, access.OFFICE_ROLES)
    return [organisation for organisation in found if organisation.is_office]


def sending_offices(user: User) -> list[Organisation]:
    """The offices that send cases to the laboratories in which a person works."""
    keys = [one.pk for one in laboratories(user)]
    if not keys:
        return []
    found = Organisation.objects.filter(laboratory_links__laboratory__in=keys)
    return list(found.distinct())


def laboratories(user: User) -> list[Organisation]:
    """The laboratories in which a person works, at the bench or not."""
    found = access.organisations(user, access.LABORATORY_ROLES)
    return [organisation for organisation in found if organisation.is_laboratory]


def roles_to_invite(user: User, organisation: Organisation) -> tuple[Role, ...]:
    """The roles that a person may hand out in an organisation, and take away again."""
    found: set[Role] = set()
    if organisation.is_laboratory and access.may_in(user, "invite into a laboratory", organisation):
        found.update(access.LABORATORY_ROLES)
    if organisation.is_office and access.may_in(user, "invite into an office", organisation):
        found.update(access.OFFICE_ROLES)
    return tuple(role for role in Role if role in found)


def may_link(user: User, organisation: Organisation) -> bool:
    """Whether a person brings offices to this laboratory."""
    return organisation.is_laboratory and access.may_in(user, "link an office", organisation)


def may_withdraw(user: User, invitation: Invitation) -> bool:
    """Whoever may send such a link may take it back."""
    if invitation.opens_office:
        return may_link(user, invitation.organisation)
    return invitation.role in roles_to_invite(user, invitation.organisation)


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
    with transaction.atomic():
        row = Invitation.objects.create(
            organisation=organisation,
            role=Role.DENTIST if opens_office else role,
            opens_office=opens_office,
            invited_name=invited_name,
            secret_digest=_digest(secret),
            created_by=by,
            expires_at=timezone.now() + timedelta(days=INVITATION_DAYS),
        )
        house_history.enter(
            organisation=organisation,
            by=by,
            act="invited",
            part="offices" if opens_office else "people",
            changes={invited_name: ["", _invited_as(row)]},
        )
    return Invited(row, secret)


def _invited_as(row: Invitation) -> str:
    return "dentist with an office" if row.opens_office else row.get_role_display().lower()


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
    office: Organisation | None = None,
    office_name: str = "",
    office_address: str = "",
    notation: Notation = Notation.ISO_3950,
    paper_size: PaperSize = PaperSize.A4,
) -> User:
    """Follow a one-time link: as a new person, or as one who is already logged in.

    A link for an office links ``office``, one of the person's own; without it the office
    is opened first.

    Raises
    ------
    LinkSpent
        Somebody followed it first.
    NameTaken
        A new person's user name is no longer free.
    """
    with transaction.atomic():
        row = find_invitation(secret)
        if user is None:
            user = _new_user(username, password, full_name, licence_number)
        written = Invitation.objects.filter(pk=row.pk, used_at__isnull=True).update(
            used_at=timezone.now(), used_by=user
        )
        if not written:
            raise LinkSpent("This link was used a moment ago. Ask for a new one.")
        organisation = row.organisation
        if row.opens_office:
            organisation = office or Organisation.objects.create(
                name=office_name,
                kind=OrganisationKind.OFFICE,
                address=office_address,
                notation=notation,
                paper_size=paper_size,
            )
            _link(organisation, row.organisation, by=user)
        if office is None:
            _join(user, organisation, Role(row.role))
    return user


def _new_user(username: str, password: str, full_name: str, licence_number: str) -> User:
    try:
        with transaction.atomic():
            return User.objects.create_user(
                username=username,
                password=password,
                full_name=full_name,
                licence_number=licence_number,
            )
    except IntegrityError as error:
        raise NameTaken(f"The user name {username} is taken. Choose another.") from error


def _join(user: User, organisation: Organisation, role: Role) -> None:
    Membership.objects.update_or_create(
        user=user, organisation=organisation, role=role, defaults={"active": True}
    )
    house_history.enter(
        organisation=organisation,
        by=user,
        act="joined",
        part="people",
        changes={str(user): ["", role.label.lower()]},
    )
    log.info("person %s joined organisation %s as %s", user.pk, organisation.pk, role.value)


def _link(office: Organisation, laboratory: Organisation, *, by: User) -> None:
    OfficeLink.objects.update_or_create(
        office=office, laboratory=laboratory, defaults={"active": True}
    )
    _say_of_link(office, laboratory, act="linked", by=by)
    log.info("office %s linked to laboratory %s", office.pk, laboratory.pk)


def _say_of_link(office: Organisation, laboratory: Organisation, *, act: str, by: User) -> None:
    """Both houses read in their history that they work together, or no longer."""
    before, after = ("", "linked") if act == "linked" else ("linked", "")
    for house, part, other in (
        (laboratory, "offices", office),
        (office, "laboratories", laboratory),
    ):
        house_history.enter(
            organisation=house, by=by, act=act, part=part, changes={str(other): [before, after]}
        )


def withdraw(*, invitation: Invitation, by: User) -> None:
    with transaction.atomic():
        written = Invitation.objects.filter(
            pk=invitation.pk, used_at__isnull=True, withdrawn=False
        ).update(withdrawn=True)
        if written:
            house_history.enter(
                organisation=invitation.organisation,
                by=by,
                act="withdrew the invitation of",
                part="offices" if invitation.opens_office else "people",
                changes={invitation.invited_name: [_invited_as(invitation), ""]},
            )


def end_link(*, link: OfficeLink, by: User) -> None:
    """The office can open no new case at this laboratory; cases under way go on."""
    with transaction.atomic():
        link.active = False
        link.save(update_fields=["active"])
        _say_of_link(link.office, link.laboratory, act="unlinked", by=by)
    log.info("person %s ended office link %s", by.pk, link.pk)


def change_organisation(
    *,
    organisation: Organisation,
    name: str,
    address: str,
    notation: Notation,
    paper_size: PaperSize,
    profile: str = "",
    shade_systems: str | None = None,
    records_agree_mm: Decimal | None = None,
    foil_um: int | Decimal | None = None,
    base_min_mm: Decimal | EllipsisType | None = ...,
    emergency_telephone: str | None = None,
    after_care: str | None = None,
    label_size: LabelSize | EllipsisType | None = ...,
    by: User,
) -> Organisation:
    """Correct what stands on papers; everything counts from the next page on.

    Shade systems, telephone and after-care text of an office, and the limits that a laboratory
    verifies mountings by, stay as they are where nothing is given. The least base and the size of
    labels can be taken out again: they stay only where they are not named.

    Raises
    ------
    ValueError
        There is no such profile, or shade systems, telephone or after-care text cannot be read,
        or a label has an edge that is too short or too long.
    """
    if profile and profile not in profiles.profiles():
        raise ValueError(f"There is no profile {profile!r}. Choose one of the list, or none.")
    values: dict[str, Any] = {
        "name": name,
        "address": address,
        "notation": notation,
        "paper_size": paper_size,
        "profile": profile,
    }
    if shade_systems is not None:
        shades.read(shade_systems)
        values["shade_systems"] = shade_systems
    if emergency_telephone is not None:
        values["emergency_telephone"] = after_care_sheet.telephone(emergency_telephone)
    if after_care is not None:
        after_care_sheet.read(after_care)
        values["after_care"] = after_care
    if records_agree_mm is not None:
        values["records_agree_mm"] = records_agree_mm
    if foil_um is not None:
        values["foil_um"] = int(foil_um)
    if not isinstance(base_min_mm, EllipsisType):
        values["base_min_mm"] = base_min_mm
    if not isinstance(label_size, EllipsisType):
        if label_size:
            label_sizes.check(label_size)
        values["label_width_mm"] = label_size.width_mm if label_size else None
        values["label_height_mm"] = label_size.height_mm if label_size else None
    house_history.save(row=organisation, after=values, part="entries on papers", by=by)
    log.info("person %s changed organisation %s", by.pk, organisation.pk)
    return organisation
