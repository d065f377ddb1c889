"""What the demonstration holds: two offices, a laboratory and the people who work there.

Everybody and everything here is invented.
"""

import secrets
from datetime import timedelta
from decimal import Decimal
from typing import Any, NamedTuple

from django.contrib.auth.hashers import make_password
from django.db import transaction
from django.utils import timezone

from labcases.enums import Notation, OrganisationKind, Role
from labcases.management import clock
from labcases.management.demo_curing import equip
from labcases.management.demo_load import give_minutes
from labcases.management.demo_stories import Stories
from labcases.management.demo_teeth import fill_stock
from labcases.management.walk import Hands
from labcases.models import DemoMark, Membership, OfficeLink, Organisation, User

#: Without the letters and digits that are mistaken for one another.
PASSWORD_CHARACTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # noqa: S105 - an alphabet, no password


class DemoPerson(NamedTuple):
    """One who can log in, with the password made for this load."""

    name: str
    username: str
    password: str
    part: str


#: So long ago the houses began to work with one another.
DAYS_AT_WORK = 220

OFFICE = "Foxglove Lane Dental Office"
SECOND_OFFICE = "Harbour Bridge Dental Office"
LABORATORY = "Millrace Denture Laboratory"

#: Name, user name, organisation, roles.
PEOPLE = (
    ("Dora Ellwood", "dora", OFFICE, (Role.DENTIST,)),
    ("Farah Nyqvist", "farah", OFFICE, (Role.FRONT_DESK,)),
    ("Pavel Orrin", "pavel", SECOND_OFFICE, (Role.DENTIST,)),
    ("Greet Halloran", "greet", SECOND_OFFICE, (Role.FRONT_DESK,)),
    ("Tomas Reidl", "tomas", LABORATORY, (Role.TECHNICIAN,)),
    ("Ludo Parrish", "ludo", LABORATORY, (Role.FRONT_DESK,)),
    ("Marit Osei", "marit", LABORATORY, (Role.MANAGER, Role.TECHNICIAN)),
)

#: Invented like everything else, with telephone numbers that are kept free for stories (from
#: memory); the profiles are of two places, so that a page shows what each
#: of them asks for.
PLACES: dict[str, dict[str, Any]] = {
    OFFICE: {
        "address": "4 Foxglove Lane, Brindlemouth",
        "holiday_region": "gb-eng",
        "emergency_telephone": "01632 960 142",
        "profile": "eu",
        "shade_systems": "office tabs, set of 16: A2, A3, B2, B3\ngreen box: 1 light, 2, 3 dark",
    },
    SECOND_OFFICE: {
        "address": "19 Harbour Bridge, Port Ansel",
        "holiday_region": "us",
        "emergency_telephone": "01632 960 185",
        "profile": "us-mt",
        "notation": Notation.UNIVERSAL,
    },
    LABORATORY: {
        "address": "The Old Millrace, Brindlemouth",
        "holiday_region": "gb-eng",
        "profile": "eu",
        "base_min_mm": Decimal("1.8"),
    },
}

#: Invented, like everything else.
LICENCES = {"dora": "D-7781", "pavel": "D-4410"}


def new_password() -> str:
    """Return four groups of four characters, easily typed from a terminal."""
    return "-".join("".join(secrets.choice(PASSWORD_CHARACTERS) for _ in "1234") for _ in "1234")


@transaction.atomic
def load_demo() -> list[DemoPerson]:
    """Fill an empty database, mark it as the demonstration's, and say who can log in."""
    with clock.on(timezone.localdate() - timedelta(days=DAYS_AT_WORK)):
        organisations, users, people = _houses()
    bench = {
        "technician": users["tomas"],
        "lab_desk": users["ludo"],
        "manager": users["marit"],
    }
    fill_stock(organisations[LABORATORY], users["marit"])
    equip(organisations[LABORATORY], users["marit"])
    give_minutes(organisations[LABORATORY], users["marit"])
    Stories(
        laboratory=organisations[LABORATORY],
        offices=(organisations[OFFICE], organisations[SECOND_OFFICE]),
        hands=(
            Hands(dentist=users["dora"], office_desk=users["farah"], **bench),
            Hands(dentist=users["pavel"], office_desk=users["greet"], **bench),
        ),
    ).tell()
    DemoMark.objects.create(usernames=[person.username for person in people])
    return people


def _houses() -> tuple[dict[str, Organisation], dict[str, User], list[DemoPerson]]:
    """The three houses, linked, and who works there with which password."""
    organisations = {
        name: Organisation.objects.create(
            name=name,
            kind=OrganisationKind.LABORATORY if name == LABORATORY else OrganisationKind.OFFICE,
            **place,
        )
        for name, place in PLACES.items()
    }
    for office in (OFFICE, SECOND_OFFICE):
        OfficeLink.objects.create(
            office=organisations[office], laboratory=organisations[LABORATORY]
        )
    people = []
    users = {}
    for name, username, organisation, roles in PEOPLE:
        password = new_password()
        user = User.objects.create(
            username=username,
            email=f"{username}@example.org",
            full_name=name,
            password=make_password(password),
            licence_number=LICENCES.get(username, ""),
        )
        users[username] = user
        for role in roles:
            Membership.objects.create(
                user=user, organisation=organisations[organisation], role=role
            )
        part = f"{' and '.join(role.label.lower() for role in roles)}, {organisation}"
        people.append(DemoPerson(name, username, password, part))
    return organisations, users, people
