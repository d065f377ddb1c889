"""Who may do what. The only permission table, and the only rule of visibility."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Q, QuerySet

from labcases.enums import OrganisationKind, Position, Role
from labcases.models import Case, Membership, Organisation, User

if TYPE_CHECKING:
    from django.contrib.auth.models import AnonymousUser

D = Position.DENTIST
O = Position.OFFICE_DESK  # noqa: E741  (the column's letter in the table below)
T = Position.TECHNICIAN
L = Position.LAB_DESK
M = Position.LAB_MANAGER

EVERYONE = frozenset({D, O, T, L, M})
OFFICE = frozenset({D, O})
LABORATORY = frozenset({T, L, M})

MAY: dict[str, frozenset[Position]] = {
    # one row an act:              dentist, office desk, technician, lab desk, lab manager
    "see a case": EVERYONE,
    "see the patient's name": frozenset({D, O}),
    "open a case": frozenset({D, O}),
    "link cases": frozenset({D, O, L, M}),
    "write a prescription": frozenset({D, O}),
    "sign": frozenset({D}),
    "approve": frozenset({D}),
    "raise a proposal": frozenset({T, M}),
    "record a try-in": frozenset({D}),
    "record a delivery": frozenset({D}),
    "record a review": frozenset({D}),
    "remount after delivery": frozenset({D, T, M}),
    "record a reline": frozenset({D, T, M}),
    "settle an unreported delivery": frozenset({D, O, L, M}),
    "send the case": frozenset({D, O}),
    "pack a box": EVERYONE,
    "take in a box": EVERYONE,
    "book dates": frozenset({D, O}),
    "see a moved date": EVERYONE,
    "propose dates": frozenset({L, M}),
    "confirm surgery": frozenset({D}),
    "ask a question": EVERYONE,
    "answer a question": EVERYONE,
    "answer a clinical question": frozenset({D}),
    "bench work": frozenset({T, M}),
    "order teeth": frozenset({T, L, M}),
    "trace a lot": frozenset({T, L, M}),
    "release": frozenset({M}),
    "dispatch": frozenset({T, L, M}),
    "receive": frozenset({D, O}),
    "pass a manager's gate": frozenset({M}),
    "pass a dentist's gate": frozenset({D}),
    "hold a case": frozenset({D, O, T, L, M}),
    "decline a case": frozenset({M}),
    "cancel a case": frozenset({D, M}),
    "print": EVERYONE,
    "export a case": frozenset({D, O, M}),
    "ask for erasure": frozenset({D}),
    "ask for erasure on paper": frozenset({M}),
    "add a photograph or paper": EVERYONE,
    "confirm the patient's agreement": frozenset({D, O}),
    "take out any picture": frozenset({D, M}),
    "transcribe a signed paper": frozenset({L, M}),
    "confirm a signed paper": frozenset({T, L, M}),
    "send a case signed on paper": frozenset({D, O, L, M}),
    # Which kinds each may report stands in reference/incidents.toml: what happens at the
    # office is reported by the office, what happens at the bench by the bench.
    "report an incident": EVERYONE,
    "close an incident": EVERYONE,
    "strike out any incident": frozenset({D, M}),
    "confirm the patient": EVERYONE,
    # The laboratory answers for the device as its maker; the dentist for the patient.
    "enter a complaint": EVERYONE,
    "look into a complaint": frozenset({D, T, M}),
    "close a complaint": frozenset({D, M}),
    "strike out any complaint": frozenset({D, M}),
}

# Acts inside one's own organisation, where no case is concerned.
MAY_IN_ORGANISATION: dict[str, frozenset[Role]] = {
    "invite into a laboratory": frozenset({Role.MANAGER}),
    "link an office": frozenset({Role.MANAGER}),
    "invite into an office": frozenset({Role.DENTIST}),
    "keep the calendar": frozenset({Role.MANAGER, Role.DENTIST}),
    "open a case from a paper": frozenset({Role.FRONT_DESK, Role.MANAGER}),
    "keep the stock": frozenset({Role.TECHNICIAN, Role.FRONT_DESK, Role.MANAGER}),
    "keep the stage plan": frozenset({Role.MANAGER}),
    "trace lots": frozenset({Role.TECHNICIAN, Role.FRONT_DESK, Role.MANAGER}),
    "keep the curing cycles": frozenset({Role.TECHNICIAN, Role.MANAGER}),
    "read the bench load": frozenset({Role.TECHNICIAN, Role.MANAGER}),
    "keep the bench load": frozenset({Role.MANAGER}),
    "read the quality": frozenset({Role.TECHNICIAN, Role.MANAGER}),
    "keep the own materials": frozenset({Role.MANAGER}),
    "keep bench devices": frozenset({Role.MANAGER}),
    "list devices": frozenset({Role.FRONT_DESK, Role.MANAGER}),
}

OFFICE_ROLES = (Role.DENTIST, Role.FRONT_DESK)
LABORATORY_ROLES = (Role.TECHNICIAN, Role.FRONT_DESK, Role.MANAGER)
BENCH_ROLES = (Role.TECHNICIAN, Role.MANAGER)

_OFFICE_POSITION = {Role.DENTIST: D, Role.FRONT_DESK: O}
_LABORATORY_POSITION = {Role.TECHNICIAN: T, Role.FRONT_DESK: L, Role.MANAGER: M}


# Person -> memberships, for as long as one page is read.
_read: ContextVar[dict[int, list[Membership]] | None] = ContextVar("memberships_read", default=None)


@dataclass(frozen=True)
class AtDevice:
    """Who works by PIN or badge while a request is answered, where, and on which device."""

    user: int
    laboratory: int
    called: str


_at: ContextVar[AtDevice | None] = ContextVar("at_device", default=None)


@contextmanager
def at_device(at: AtDevice) -> Iterator[None]:
    """While a request is answered, its person does bench acts of one laboratory and no others.

    A manager counts as a technician, and what they are elsewhere counts as nothing: whatever
    asks for more than bench work asks for the password first.
    """
    token = _at.set(at)
    try:
        yield
    finally:
        _at.reset(token)


def device_words(user: User | AnonymousUser) -> str:
    """Words like " at Tablet 2" where a person works by PIN or badge, else nothing."""
    at = _at.get()
    return f" at {at.called}" if at is not None and at.user == user.pk else ""


def _as_at_the_bench(user: User, rows: list[Membership]) -> list[Membership]:
    at = _at.get()
    if at is None or at.user != user.pk:
        return rows
    here = [r for r in rows if r.organisation_id == at.laboratory and r.role in BENCH_ROLES]
    for row in here:
        row.role = Role.TECHNICIAN
    return here[:1]


@contextmanager
def read_once() -> Iterator[None]:
    """While one page is made, read the memberships of a person once.

    For requests that change nothing: whatever may change a role reads it afresh each time.
    """
    token = _read.set({})
    try:
        yield
    finally:
        _read.reset(token)


def memberships(user: User | AnonymousUser) -> list[Membership]:
    """Active memberships, read afresh: a change counts on the next request."""
    if not user.is_authenticated or not user.is_active:
        return []
    read = _read.get()
    if read is not None and user.pk in read:
        return list(read[user.pk])
    rows = list(Membership.objects.filter(user=user, active=True).select_related("organisation"))
    rows = _as_at_the_bench(user, rows)
    if read is not None:
        read[user.pk] = rows
    return list(rows)


def positions(user: User | AnonymousUser, case: Case) -> frozenset[Position]:
    """Every column of the table that a person stands in towards a case."""
    found: set[Position] = set()
    for row in memberships(user):
        if row.organisation_id == case.office_id and Role(row.role) in _OFFICE_POSITION:
            found.add(_OFFICE_POSITION[Role(row.role)])
        if row.organisation_id == case.laboratory_id and Role(row.role) in _LABORATORY_POSITION:
            found.add(_LABORATORY_POSITION[Role(row.role)])
    return frozenset(found)


def may(user: User | AnonymousUser, act: str, case: Case) -> bool:
    return bool(positions(user, case) & MAY[act])


def acts(user: User | AnonymousUser, case: Case) -> frozenset[str]:
    """All acts of a person on a case, for templates that offer buttons."""
    held = positions(user, case)
    return frozenset(act for act, columns in MAY.items() if columns & held)


def may_in(user: User | AnonymousUser, act: str, organisation: Organisation) -> bool:
    return any(
        row.organisation_id == organisation.pk and Role(row.role) in MAY_IN_ORGANISATION[act]
        for row in memberships(user)
    )


def organisations(
    user: User | AnonymousUser, roles: Collection[str] = tuple(Role)
) -> list[Organisation]:
    """The organisations in which a person holds one of these roles, each once."""
    found = {
        row.organisation_id: row.organisation for row in memberships(user) if row.role in roles
    }
    return sorted(found.values(), key=lambda organisation: organisation.name)


def visible_cases(user: User | AnonymousUser) -> QuerySet[Case]:
    """A person sees a case when a membership of theirs is in its office or laboratory.

    A membership counts on the side where its role has a place: a technician of an
    organisation that is office and laboratory at once does not thereby see what its
    office sends elsewhere.
    """
    offices, laboratories = houses(user)
    ours = Q(office__in=offices) | Q(laboratory__in=laboratories)
    return Case.objects.filter(ours, erased=False)


def seen(user: User | AnonymousUser, way: str = "") -> Q:
    """The rule of ``visible_cases`` for rows that lead to a case by ``way``, such as ``case__``.

    A house that is no office has no case as an office, and one house is asked for in a way that
    an index answers.
    """
    wanted = Q(pk__in=())
    for name, kept, is_kind in (
        ("office", _OFFICE_POSITION, "is_office"),
        ("laboratory", _LABORATORY_POSITION, "is_laboratory"),
    ):
        keys = {
            row.organisation_id
            for row in memberships(user)
            if Role(row.role) in kept and getattr(row.organisation, is_kind)
        }
        if len(keys) == 1:
            wanted |= Q(**{f"{way}{name}": next(iter(keys))})
        elif keys:
            wanted |= Q(**{f"{way}{name}__in": keys})
    return wanted


def houses(user: User | AnonymousUser) -> tuple[set[int], set[int]]:
    """Keys of the offices and of the laboratories in which a person has a place."""
    rows = memberships(user)
    return (
        {r.organisation_id for r in rows if Role(r.role) in _OFFICE_POSITION},
        {r.organisation_id for r in rows if Role(r.role) in _LABORATORY_POSITION},
    )


def works_alone(laboratory: Organisation) -> bool:
    """Whether one person is all of a laboratory."""
    found = Membership.objects.filter(
        organisation=laboratory,
        active=True,
        user__is_active=True,
        role__in=LABORATORY_ROLES,
    )
    return found.values("user").distinct().count() == 1


def roles_of(organisation: Organisation) -> tuple[Role, ...]:
    """Roles that make sense in an organisation."""
    if organisation.kind == OrganisationKind.OFFICE:
        return OFFICE_ROLES
    if organisation.kind == OrganisationKind.LABORATORY:
        return LABORATORY_ROLES
    return tuple(Role)
