"""What an incident would do, told before anybody saves it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date

from labcases import notation
from labcases.domain import access, calendars, ending, open_days, outlook, planning, taking_back
from labcases.enums import Position, Route, Side, Stage, Thing
from labcases.models import Case, Cast, User
from labcases.reference.incidents import Kind, Way, kinds

HOUSE: dict[Side, frozenset[Position]] = {
    Side.OFFICE: access.OFFICE,
    Side.LABORATORY: access.LABORATORY,
}


@dataclass(frozen=True)
class Report:
    """What a person says: what happened, and its details."""

    kind: Kind
    text: str
    answer: str = ""
    teeth: list[str] = field(default_factory=list)
    cast: Cast | None = None
    allergy: str = ""
    new_day: date | None = None


@dataclass(frozen=True)
class Surgery:
    """Whether the surgery day holds when the case stands where the incident brings it."""

    on: date
    earliest: date
    spare_days: int

    @property
    def holds(self) -> bool:
        return self.spare_days >= 0


@dataclass(frozen=True)
class Foreseen:
    """What will follow: where the case goes, what falls, who is told, what it costs."""

    way: Way
    at: Stage
    to: Stage
    things: list[Thing]
    told: tuple[Side, ...]
    days_lost: int
    surgery: Surgery | None
    cast_age_days: int | None = None

    @property
    def waits(self) -> bool:
        """The case stays until the dentist has decided."""
        return bool(self.way.revision)

    @property
    def moves(self) -> bool:
        return self.to != self.at and not self.waits

    @property
    def undone(self) -> list[str]:
        return [str(thing.label) for thing in self.things]


def houses_of(user: User, case: Case, kind: Kind) -> set[Side]:
    """The houses from which a person may report this on a case."""
    held = access.positions(user, case) & set(kind.who)
    return {side for side, house in HOUSE.items() if held & house}


def ways_of(user: User, case: Case, kind: Kind) -> list[Way]:
    """The ways in which this can have happened now, as far as this person may say so."""
    found = kind.ways_at(
        stage=Stage(case.stage),
        route=Route(case.prescription.route),
        houses=houses_of(user, case, kind),
    )
    ends = access.may(user, "cancel a case", case)
    return [way for way in found if way.returns != Stage.CANCELLED or ends]


def possible(user: User, case: Case) -> list[Kind]:
    """What this person can report of a case as it stands, in the order of the table."""
    return [kind for kind in kinds().values() if ways_of(user, case, kind)]


def way_for(ways: Collection[Way], answer: str) -> Way | None:
    """The way that an answer names, or the one that hangs on no answer."""
    named = [way for way in ways if way.answer == answer]
    plain = [way for way in ways if not way.answer]
    return next(iter([*named, *plain]), None)


def foresee(*, case: Case, report: Report, way: Way, today: date | None = None) -> Foreseen:
    """What reporting this would do to a case as it stands."""
    at = Stage(case.stage)
    to = way.goes_to(at)
    ends = to == Stage.CANCELLED and at != to
    surgery_on = report.new_day if "day" in report.kind.asks else case.surgery_on
    return Foreseen(
        way=way,
        at=at,
        to=to,
        things=taking_back.there_is(case, way.undoes),
        told=report.kind.told,
        days_lost=0
        if ends
        else outlook.lost_days(
            course=planning.course_of(case.prescription),
            at=at,
            to=to,
            houses=planning.houses_of(case),
        ),
        surgery=None
        if ends
        else surgery_after(case, surgery_on, to, today or calendars.today_of(case.office)),
        cast_age_days=ending.cast_age_days(case, surgery_on),
    )


def surgery_after(case: Case, on: date | None, to: Stage, today: date) -> Surgery | None:
    """Whether the surgery day holds when a case stands at ``to``; nothing without a day.

    The work counts in open days of the laboratory, and the earliest day is one on which the
    office is open.
    """
    order = list(Stage)
    if on is None or order.index(to) >= order.index(Stage.DELIVERED):
        return None
    houses = planning.houses_of(case)
    earliest = outlook.earliest_surgery(
        course=planning.course_of(case.prescription), stage=to, today=today, houses=houses
    )
    spare = open_days.whole_days_between(earliest, on, houses.laboratory)
    return Surgery(on, earliest, spare)


def asks_the_dentist(kind: Kind, way: Way) -> bool:
    """Whether the dentist has to decide: by a revision, or in words where that is too late."""
    return bool(way.revision) or (not way.answer and any(other.revision for other in kind.ways))


def tooth_words(teeth: list[str]) -> str:
    """Each tooth in words and in both notations: no number alone says which tooth it is."""
    return ", ".join(
        f"{notation.name(tooth)}, {notation.show(tooth, 'ISO 3950')}" for tooth in teeth
    )
