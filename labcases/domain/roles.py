"""The roles that a person holds in a house: changed, ended one by one, or all at once."""

from __future__ import annotations

import logging
from collections.abc import Collection

from django.db import transaction

from labcases.domain import house_history
from labcases.enums import Role
from labcases.models import Membership, Organisation, User

# Those who invite the others; an organisation never loses its last one.
IN_CHARGE = (Role.MANAGER, Role.DENTIST)

# Whose roles were changed: numbers only, names stand in the database.
log = logging.getLogger(__name__)


class LastInCharge(Exception):
    """Without this person nobody could invite anybody."""


def held(user: User, organisation: Organisation) -> list[Role]:
    """The roles that a person has in a house now."""
    rows = Membership.objects.filter(user=user, organisation=organisation, active=True)
    found = set(rows.values_list("role", flat=True))
    return [role for role in Role if role in found]


def change(
    *,
    person: User,
    organisation: Organisation,
    wanted: Collection[Role],
    among: Collection[Role],
    by: User,
) -> list[Role]:
    """Give a person these roles of those that the reader hands out; the others stay.

    It counts from the person's next request on.

    Raises
    ------
    LastInCharge
        Nobody else in the organisation has a role of theirs that invites people.
    """
    with transaction.atomic():
        rows = _locked(organisation, person)
        before = [role for role in Role if role in rows]
        after = [r for r in Role if (r in wanted if r in among else r in rows)]
        if before == after:
            return after
        for role in before:
            if role not in after:
                _not_the_last(rows[role])
        Membership.objects.filter(pk__in=[rows[r].pk for r in before if r not in after]).update(
            active=False
        )
        for role in after:
            if role not in before:
                Membership.objects.update_or_create(
                    user=person, organisation=organisation, role=role, defaults={"active": True}
                )
        house_history.enter(
            organisation=organisation,
            by=by,
            act="changed" if after else "stopped",
            part="people",
            changes={str(person): [_words(before), _words(after)]},
        )
    log.info("person %s changed the roles of %s in %s", by.pk, person.pk, organisation.pk)
    return after


def stop(*, membership: Membership, by: User) -> None:
    """End one role of a person.

    Raises
    ------
    LastInCharge
        Nobody else in the organisation has the role that invites people.
    """
    role = Role(membership.role)
    change(
        person=membership.user,
        organisation=membership.organisation,
        wanted=(),
        among=(role,),
        by=by,
    )


def _locked(organisation: Organisation, person: User) -> dict[str, Membership]:
    """A person's roles; whoever changes roles of a house waits here for the others."""
    Organisation.objects.select_for_update().get(pk=organisation.pk)
    return {
        row.role: row
        for row in Membership.objects.filter(
            user=person, organisation=organisation, active=True
        ).select_related("user", "organisation")
    }


def _not_the_last(row: Membership) -> None:
    if row.role not in IN_CHARGE:
        return
    others = Membership.objects.filter(
        organisation=row.organisation_id, role=row.role, active=True, user__is_active=True
    ).exclude(pk=row.pk)
    if not others.exists():
        raise LastInCharge(
            f"{row.user} is the last {row.get_role_display().lower()} of {row.organisation}. "
            "Invite another one first: without one nobody can invite people."
        )


def _words(roles: Collection[Role]) -> str:
    return ", ".join(role.label.lower() for role in roles)
