"""People and cases for tests. The cast: Dora, Farah, Tomas, Lena, Mona; Olga sees nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import factory
from django.utils import timezone
from factory.django import DjangoModelFactory

from labcases.enums import OrganisationKind, Role, Stage
from labcases.management.walk import Hands, Walk, start
from labcases.models import Case, Membership, OfficeLink, Organisation, User
from tests import remembered

PASSWORD = "a quiet bench by the window"


class UserFactory(DjangoModelFactory[User]):
    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"person{n}")
    full_name = factory.Sequence(lambda n: f"Person {n}")
    password = factory.django.Password(PASSWORD)


class OrganisationFactory(DjangoModelFactory[Organisation]):
    class Meta:
        model = Organisation

    name = factory.Sequence(lambda n: f"Organisation {n}")
    kind = OrganisationKind.OFFICE
    address = "1 Test Street"


class OfficeLinkFactory(DjangoModelFactory[OfficeLink]):
    class Meta:
        model = OfficeLink


class MembershipFactory(DjangoModelFactory[Membership]):
    class Meta:
        model = Membership


def member(name: str, organisation: Organisation, role: str, **more: Any) -> User:
    """A person with one role; the user name is the first name in small letters."""
    user = UserFactory(username=name.split()[0].lower(), full_name=name, **more)
    MembershipFactory(user=user, organisation=organisation, role=role)
    return user


class KnownWalk(Walk):
    """A walk whose way to a stage is taken once, and remembered."""

    def to(self, goal: Stage, **prescribed: Any) -> Case:
        remembered.once(self._name("to", goal, prescribed), lambda: self._go(goal, prescribed))
        return self.reload()

    def ready(self, goal: Stage, **prescribed: Any) -> Case:
        remembered.once(
            self._name("ready", goal, prescribed), lambda: self._get_ready(goal, prescribed)
        )
        return self.reload()

    # Steps that tests take by themselves, each after a way to a stage.

    def mount(self) -> None:
        self._step("mount", super().mount)

    def enter_settings(self) -> None:
        self._step("settings", super().enter_settings)

    def choose_teeth(self) -> None:
        self._step("teeth", super().choose_teeth)

    def measure(self) -> None:
        self._step("sites", super().measure)

    def compute(self) -> None:
        self._step("checks", super().compute)

    def set_posterior(self) -> None:
        self._step("posterior", super().set_posterior)

    def set_anterior(self) -> None:
        self._step("anterior", super().set_anterior)

    def wax(self) -> None:
        self._step("wax", super().wax)

    def _step(self, name: str, take: Callable[[], None]) -> None:
        remembered.once(self._name(name, Stage(self.case.stage), {}), take)
        self.reload()

    def _go(self, goal: Stage, prescribed: dict[str, Any]) -> None:
        super().to(goal, **prescribed)

    def _get_ready(self, goal: Stage, prescribed: dict[str, Any]) -> None:
        super().ready(goal, **prescribed)

    def _name(self, way: str, goal: Stage, prescribed: dict[str, Any]) -> str:
        told = vars(self) | {"case": self.case.pk, "hands": vars(self.hands)}
        return repr((way, goal, sorted(prescribed.items()), sorted(told.items())))


@dataclass
class World:
    """One laboratory, its office, another office of the same laboratory, another laboratory."""

    laboratory: Organisation
    office: Organisation
    other_office: Organisation
    other_laboratory: Organisation
    dora: User
    farah: User
    tomas: User
    lena: User
    mona: User
    olga: User

    @property
    def hands(self) -> Hands:
        return Hands(self.dora, self.farah, self.tomas, self.lena, self.mona)

    def walk(
        self,
        *,
        patient_code: str = "P-100",
        surgery_in_days: int | None = 120,
        patient_name: str = "",
    ) -> Walk:
        """A fresh draft case; ``.to(Stage.X)`` brings it further."""
        today = timezone.localdate()
        surgery = None if surgery_in_days is None else today + timedelta(days=surgery_in_days)

        def opened() -> int:
            walk = start(
                office=self.office,
                laboratory=self.laboratory,
                hands=self.hands,
                patient_code=patient_code,
                patient_name=patient_name,
                surgery_on=surgery,
            )
            return walk.case.pk

        people = repr((vars(self.hands), self.office.pk, self.laboratory.pk))
        case = remembered.once((people, patient_code, patient_name, surgery), opened)
        return KnownWalk(Case.objects.get(pk=case), self.hands)

    def case_at(self, stage: Stage, **prescribed: Any) -> Case:
        return self.walk().to(stage, **prescribed)


def last_weekday() -> date:
    """Today, or the Friday before it: the day counts in working days whichever day it is."""
    today = timezone.localdate()
    return today - timedelta(days=max(0, today.weekday() - 4))


def world() -> World:
    remembered.begin()
    told: dict[str, int] = remembered.once("world", _people)
    houses = Organisation.objects.in_bulk()
    people = User.objects.in_bulk()
    return World(
        **{name: houses[key] if name in HOUSES else people[key] for name, key in told.items()}
    )


HOUSES = ("laboratory", "office", "other_office", "other_laboratory")


def _people() -> dict[str, int]:
    """Make everyone, and say under which key each stands."""
    laboratory = OrganisationFactory(name="Tarn Lane Laboratory", kind=OrganisationKind.LABORATORY)
    office = OrganisationFactory(name="Ferry Street Office", emergency_telephone="01632 960 100")
    other_office = OrganisationFactory(name="Hollins Office")
    other_laboratory = OrganisationFactory(
        name="Quarry Laboratory", kind=OrganisationKind.LABORATORY
    )
    for one in (office, other_office):
        OfficeLinkFactory(office=one, laboratory=laboratory)
    made = {
        "laboratory": laboratory,
        "office": office,
        "other_office": other_office,
        "other_laboratory": other_laboratory,
        "dora": member("Dora Winsley", office, Role.DENTIST, licence_number="D-7781"),
        "farah": member("Farah Kline", office, Role.FRONT_DESK),
        "tomas": member("Tomas Abelard", laboratory, Role.TECHNICIAN),
        "lena": member("Lena Marsh", laboratory, Role.FRONT_DESK),
        "mona": member("Mona Ridley", laboratory, Role.MANAGER),
        "olga": member("Olga Brandt", other_office, Role.DENTIST),
    }
    return {name: one.pk for name, one in made.items()}
