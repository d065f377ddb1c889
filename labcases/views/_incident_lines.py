"""Reports as a page shows them, and what a report would do, in sentences."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from django import forms

from labcases.domain import (
    ending,
    identity,
    incident,
    incident_effects,
    prescription,
    tooth_dates,
    tooth_orders,
)
from labcases.domain.foreseeing import Foreseen, Report, asks_the_dentist, tooth_words
from labcases.enums import IncidentEffect, IncidentGroup, Side, Stage
from labcases.forms.incidents import CloseForm, IdentityForm, StrikeForm
from labcases.models import Case, Incident, User
from labcases.reference.incidents import Kind, kinds
from labcases.templatetags.units import due_date


@dataclass(frozen=True)
class Tried:
    """A form that was refused, shown again at its report."""

    pk: int
    form: forms.Form


@dataclass(frozen=True)
class Shown:
    """One report with what this person may do about it."""

    row: Incident
    words: str
    new: bool
    told: str
    went: str
    lacks: str
    looks: list[Any]
    close_form: CloseForm | None
    strike_form: StrikeForm | None
    identity_form: IdentityForm | None


def all_of(
    case: Case, user: User, *, new: Collection[Incident] = (), tried: Tried | None = None
) -> list[Shown]:
    """Every report of a case, the newest first."""
    rows = case.incidents.select_related(
        "by", "closed_by", "struck_by", "cast", "question"
    ).prefetch_related("looks__by")
    fresh = {row.pk for row in new}
    return [_shown(row, user, row.pk in fresh, tried) for row in rows.order_by("-id")]


def _shown(row: Incident, user: User, new: bool, tried: Tried | None) -> Shown:
    kind = kinds().get(row.kind)
    in_doubt = bool(kind and kind.effect == IncidentEffect.FREEZE and row.struck_at is None)
    lacks = identity.lacks(row) if in_doubt else ""
    here = tried.form if tried and tried.pk == row.pk else None
    looked = any(look.by_id == user.pk for look in row.looks.all())
    closes = row.is_open and not lacks
    ids = f"id_%s_{row.pk}"
    return Shown(
        row=row,
        words=incident.in_words(row),
        new=new,
        told=told_words(row.told),
        went=_went(row),
        lacks=lacks,
        looks=list(row.looks.all()),
        close_form=_or(here, CloseForm, ids) if closes else None,
        strike_form=(
            _or(here, StrikeForm, ids) if incident.may_strike(user, row) and not lacks else None
        ),
        identity_form=_or(here, IdentityForm, ids) if lacks and not looked else None,
    )


def _or(tried: forms.Form | None, form: type[Any], ids: str) -> Any:
    return tried if isinstance(tried, form) else form(auto_id=ids)


def told_words(told: Collection[str]) -> str:
    return " and ".join(str(Side(side).label).lower() for side in told)


def _went(row: Incident) -> str:
    before, after = Stage(row.stage_before).label, Stage(row.stage_after).label
    if row.stage_before != row.stage_after:
        return f"The case went from {before.lower()} to {after.lower()}."
    if row.revision:
        return f"The case stayed at {before.lower()}: the dentist was asked for a revision."
    return f"The case stayed at {before.lower()}."


def grouped(possible: list[Kind]) -> list[tuple[str, list[Kind]]]:
    """What can be reported now, group by group."""
    found = [
        (str(group.label), [kind for kind in possible if kind.group == group])
        for group in IncidentGroup
    ]
    return [(label, rows) for label, rows in found if rows]


# -- what would follow -------------------------------------------------------------------------


@dataclass(frozen=True)
class Words:
    """A preview in sentences."""

    goes: str
    also: list[str]
    told: str
    days: str
    surgery: str
    surgery_glyph: str
    cautions: list[str]


def foreseen_words(case: Case, kind: Kind, seen: Foreseen, report: Report) -> Words:
    return Words(
        goes=_goes(seen),
        also=_also(case, kind, seen, report),
        told=told_words(seen.told),
        days=_days(seen),
        surgery=_surgery(case, kind, seen),
        surgery_glyph="done" if seen.surgery is None or seen.surgery.holds else "warning",
        cautions=[*kind.cautions, *_cast_age(kind, seen)],
    )


def _goes(seen: Foreseen) -> str:
    if seen.to == Stage.CANCELLED and seen.at != seen.to:
        return "The case ends as cancelled. It cannot be taken up again; everything stays readable."
    if seen.moves:
        return f"The case goes back from {seen.at.label.lower()} to {seen.to.label.lower()}."
    if seen.waits and seen.to != seen.at:
        return (
            f"The case stays at {seen.at.label.lower()} and waits for the dentist. A signed "
            f"revision brings it back to {seen.to.label.lower()}, and takes back what hangs on it."
        )
    if seen.waits:
        return f"The case stays at {seen.at.label.lower()} and waits for the dentist."
    return f"The case stays at {seen.at.label.lower()}."


def _also(case: Case, kind: Kind, seen: Foreseen, report: Report) -> list[str]:
    found = []
    if asks_the_dentist(kind, seen.way):
        by = "a revision of the prescription" if seen.waits else "an answer"
        found.append(f"The dentist is asked for {by}; the case waits until then.")
    if seen.waits and not prescription.may_revise(case):
        found.append("Processing has begun: a change is now a new case.")
    if kind.effect == IncidentEffect.FREEZE:
        found.append(
            "The case is on hold and frozen until two people, one of them at the office, have "
            "read case code and patient code again."
        )
    elif kind.effect == IncidentEffect.ALLERGY:
        found.append(
            f"The safety strip says at once, on every page and paper: {report.allergy}, reported "
            "and not signed."
        )
    elif kind.effect == IncidentEffect.ONE_TOOTH:
        found.append(
            f"Only {tooth_words(report.teeth)} is to be replaced, with the reason; the set stays "
            "in hand. The case goes on when the tooth in its place is entered."
        )
    elif kind.effect == IncidentEffect.NOT_TO_BE_HAD:
        found += _orders(case, report)
    elif kind.effect == IncidentEffect.POSTPONE:
        day = due_date(report.new_day) if report.new_day else "no day yet"
        found += [f"The surgery day becomes: {day}.", "Every approval stays."]
    elif kind.effect in (IncidentEffect.STOP, IncidentEffect.SILENCE):
        found += _stops(case, kind, seen, report)
    return found


def _orders(case: Case, report: Report) -> list[str]:
    open_orders = [tooth_dates.name_of(row) for row in tooth_orders.awaited(case)]
    if not open_orders:
        return ["No order is open, so none is marked. Teeth that are here stay in hand."]
    does = "marked as not to be had yet" if report.answer == "later" else "cancelled"
    return [
        f"Order of {name}: it is {does}. Teeth that are here stay in hand." for name in open_orders
    ]


def _stops(case: Case, kind: Kind, seen: Foreseen, report: Report) -> list[str]:
    ahead = case.appointments.filter(status__in=ending.AHEAD).count()
    found = ["The case is put on hold."] if report.answer == "hold" and not case.on_hold else []
    if ahead:
        found.append(f"Dates that are ahead are dropped at once: {ahead}.")
    if kind.effect == IncidentEffect.SILENCE:
        found.append(
            "No notice, reminder or feed about this patient leaves any more, from this case or "
            "another one of the same patient."
        )
        others = sum(1 for one in incident_effects.others_of_patient(case) if one.is_open)
        if others:
            many = "1 other case" if others == 1 else f"{others} other cases"
            found.append(f"Under the same patient code {many} will be put on hold as well.")
    found.append("Records are kept for as long as they have to be kept.")
    return found


def _days(seen: Foreseen) -> str:
    if seen.to == Stage.CANCELLED and seen.at != seen.to:
        return "None: the case ends."
    many = "1 working day" if seen.days_lost == 1 else f"{seen.days_lost} working days"
    if not seen.days_lost:
        return "None by the stage times of the plan, beside what is done again within the stage."
    after = ", once the revision is signed" if seen.waits else ""
    return f"{many} by the stage times of the plan{after}."


def _surgery(case: Case, kind: Kind, seen: Foreseen) -> str:
    if seen.surgery is None:
        if case.surgery_on is None or "day" in kind.asks:
            return "No surgery day is entered, so none is at stake."
        return "The surgery day is not at stake."
    day = due_date(seen.surgery.on)
    if kind.effect in (IncidentEffect.STOP, IncidentEffect.SILENCE):
        return f"{day} stays on the record; nothing is planned towards it any more."
    spare = seen.surgery.spare_days
    if seen.surgery.holds:
        left = "with no day to spare" if not spare else f"with {spare} to spare"
        return f"{day} still holds, {left} in open days of the laboratory."
    return (
        f"{day} does not hold by the stage times: it is {-spare} open "
        f"{'day' if spare == -1 else 'days'} of the laboratory too early. The earliest is "
        f"{due_date(seen.surgery.earliest)}; dentist and laboratory decide."
    )


def _cast_age(kind: Kind, seen: Foreseen) -> list[str]:
    age = seen.cast_age_days
    if kind.effect != IncidentEffect.POSTPONE or age is None or age <= ending.CAST_AGE_DAYS:
        return []
    return [
        f"The last impression will be {age} days old at surgery, more than "
        f"{ending.CAST_AGE_DAYS // 7} weeks: natural teeth drift and break. Hold the casts against "
        "the mouth before they are trimmed (common practice, no source)."
    ]
