"""What the demonstration holds: an office, a laboratory and the people who work there.

Everybody and everything here is invented.
"""

import secrets
from typing import NamedTuple

from django.contrib.auth.hashers import make_password
from django.db import transaction

from labcases.enums import OrganisationKind, Role
from labcases.models import DemoMark, Membership, OfficeLink, Organisation, User

#: Without the letters and digits that are mistaken for one another.
PASSWORD_CHARACTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # noqa: S105 - an alphabet, no password


class DemoPerson(NamedTuple):
    """One who can log in, with the password made for this load."""

    name: str
    username: str
    password: str
    part: str


OFFICE = "Foxglove Lane Dental Office"
LABORATORY = "Millrace Denture Laboratory"

#: Name, user name, organisation, roles.
PEOPLE = (
    ("Dora Ellwood", "dora", OFFICE, (Role.DENTIST,)),
    ("Farah Nyqvist", "farah", OFFICE, (Role.FRONT_DESK,)),
    ("Tomas Reidl", "tomas", LABORATORY, (Role.TECHNICIAN,)),
    ("Ludo Parrish", "ludo", LABORATORY, (Role.FRONT_DESK,)),
    ("Marit Osei", "marit", LABORATORY, (Role.MANAGER, Role.TECHNICIAN)),
)


def new_password() -> str:
    """Return four groups of four characters, easily typed from a terminal."""
    return "-".join("".join(secrets.choice(PASSWORD_CHARACTERS) for _ in "1234") for _ in "1234")


@transaction.atomic
def load_demo() -> list[DemoPerson]:
    """Fill an empty database, mark it as the demonstration's, and say who can log in."""
    organisations = {
        OFFICE: Organisation.objects.create(name=OFFICE, kind=OrganisationKind.OFFICE),
        LABORATORY: Organisation.objects.create(name=LABORATORY, kind=OrganisationKind.LABORATORY),
    }
    OfficeLink.objects.create(office=organisations[OFFICE], laboratory=organisations[LABORATORY])
    people = []
    for name, username, organisation, roles in PEOPLE:
        password = new_password()
        user = User.objects.create(
            username=username, full_name=name, password=make_password(password)
        )
        for role in roles:
            Membership.objects.create(
                user=user, organisation=organisations[organisation], role=role
            )
        part = f"{' and '.join(role.label.lower() for role in roles)}, {organisation}"
        people.append(DemoPerson(name, username, password, part))
    DemoMark.objects.create(usernames=[person.username for person in people])
    return people
