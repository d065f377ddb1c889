"""Offices in which nobody logs in: a laboratory enters them and types what they sign."""

from __future__ import annotations

import logging
from collections.abc import Iterable, Mapping

from django.db import transaction
from django.utils import timezone

from labcases.domain import access, after_care, house_history, people
from labcases.enums import Notation, OrganisationKind, Role
from labcases.models import Invitation, OfficeLink, Organisation, PaperDentist, User

log = logging.getLogger(__name__)


class HasPeople(Exception):
    """Somebody of the office logs in now, so the office looks after itself."""


def is_on_paper(office: Organisation) -> bool:
    """Nobody ever had a role there. One who left does not hand an office to its laboratory."""
    return office.kind == OrganisationKind.OFFICE and not office.memberships.exists()


def may_change(user: User, office: Organisation) -> bool:
    """The manager of a laboratory that it is linked to, as long as nobody of it logs in."""
    if not is_on_paper(office):
        return False
    links = office.laboratory_links.filter(active=True).select_related("laboratory")
    return any(people.may_link(user, link.laboratory) for link in links)


def laboratory_of(user: User, office: Organisation) -> Organisation | None:
    """The laboratory through which a person looks after an office on paper."""
    links = office.laboratory_links.filter(active=True).select_related("laboratory")
    own = access.organisations(user)
    return next((link.laboratory for link in links if link.laboratory in own), None)


def add(
    *,
    laboratory: Organisation,
    name: str,
    address: str,
    notation: Notation,
    profile: str,
    dentists: Iterable[Mapping[str, str]],
    emergency_telephone: str = "",
    by: User,
) -> Organisation:
    """Enter an office that sends paper, and link it at once."""
    with transaction.atomic():
        office = Organisation.objects.create(
            name=name,
            kind=OrganisationKind.OFFICE,
            address=address,
            notation=notation,
            paper_size=laboratory.paper_size,
            profile=profile,
            emergency_telephone=after_care.telephone(emergency_telephone),
        )
        OfficeLink.objects.create(office=office, laboratory=laboratory)
        _name(office, dentists)
        house_history.enter(
            organisation=laboratory,
            by=by,
            act="entered on paper",
            part="offices",
            changes={name: ["", "linked"]},
        )
    log.info("person %s entered office %s on paper", by.pk, office.pk)
    return office


def change(
    *,
    office: Organisation,
    name: str,
    address: str,
    notation: Notation,
    profile: str,
    dentists: Iterable[Mapping[str, str]],
    emergency_telephone: str | None = None,
    by: User,
) -> Organisation:
    """Correct what stands for an office on paper.

    Raises
    ------
    HasPeople
        Somebody of it came in meanwhile.
    """
    with transaction.atomic():
        _still_on_paper(office)
        people.change_organisation(
            organisation=office,
            name=name,
            address=address,
            notation=notation,
            paper_size=office.paper_size,  # type: ignore[arg-type]
            profile=profile,
            emergency_telephone=emergency_telephone,
            by=by,
        )
        office.paper_dentists.all().delete()
        _name(office, dentists)
    return office


def invite(*, office: Organisation, invited_name: str, by: User) -> people.Invited:
    """A one-time link for a dentist of it; once it is followed the office is like any other.

    Raises
    ------
    HasPeople
        Somebody of it came in meanwhile: that person invites the others.
    """
    _still_on_paper(office)
    return people.invite(organisation=office, role=Role.DENTIST, invited_name=invited_name, by=by)


def open_invitations(office: Organisation) -> list[Invitation]:
    return list(
        office.invitations.filter(
            used_at__isnull=True, withdrawn=False, expires_at__gt=timezone.now()
        )
    )


def _still_on_paper(office: Organisation) -> None:
    if not is_on_paper(office):
        raise HasPeople(
            f"Somebody of {office} logs in now. A dentist of it changes what stands for it and "
            "invites the others."
        )


def _name(office: Organisation, dentists: Iterable[Mapping[str, str]]) -> None:
    PaperDentist.objects.bulk_create(PaperDentist(office=office, **one) for one in dentists)
