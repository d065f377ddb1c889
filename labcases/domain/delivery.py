"""Arrival at the office, the surgery as it was, the delivery, and a delivery nobody reported."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django.utils import timezone

from labcases.domain import calendars, history, stages, versions
from labcases.domain.delivered import AFTER_DAYS, is_unreported
from labcases.enums import Stage
from labcases.models import ArrivalCheck, Case, Delivery, Surgery, User
from labcases.templatetags.units import long_date

ARRIVAL, SURGERY, DELIVERY = "check on arrival", "surgery", "delivery"
SETTLE = "settle an unreported delivery"
LENT = frozenset({"receive", "record a delivery"})


class NotYet(Exception):
    """A delivery is not settled as unreported yet, or not any more."""


def save_arrival(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> ArrivalCheck:
    """Keep how the denture was found; who saved it last has looked."""
    row = ArrivalCheck.objects.filter(case=case).first() or ArrivalCheck(case=case)
    return versions.save_row(
        row=row, version=version, by=by, case=case, part=ARRIVAL, values=_by(values, by)
    )


def save_surgery(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> Surgery:
    """Keep the surgery as it was."""
    row = Surgery.objects.filter(case=case).first() or Surgery(case=case)
    return versions.save_row(
        row=row, version=version, by=by, case=case, part=SURGERY, values=_by(values, by)
    )


def save(*, case: Case, version: int, by: User, values: Mapping[str, Any]) -> Delivery:
    """Keep the delivery with its checks; one that was settled as unreported is reported by it."""
    row = Delivery.objects.filter(case=case).first() or Delivery(case=case)
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=case,
        part=DELIVERY,
        values={**_by(values, by), "reported": True},
    )


def settle(*, case: Case, by: User, reason: str) -> Case:
    """Say that the denture is delivered and nobody reported it; the case goes on to delivered.

    Raises
    ------
    NotYet
        It is reported, has not left, or fewer than 14 days went by since the surgery day.
    ValueError
        No reason was given.
    """
    if not reason.strip():
        raise ValueError("Say how you know: whom you asked, or that nobody answered.")
    with history.turn(case):
        fresh = Case.objects.select_for_update().get(pk=case.pk)
        day, today = fresh.surgery_on, calendars.today_of(fresh.office)
        if day is None or not is_unreported(fresh, today):
            raise NotYet(_why_not(fresh, today))
        row = Delivery.objects.filter(case=fresh).first() or Delivery(case=fresh)
        versions.save_row(
            row=row,
            version=row.version,
            by=by,
            case=fresh,
            part=DELIVERY,
            act="settled",
            reason=reason.strip(),
            values=_by({"reported": False, "delivered_on": day}, by),
        )
        fresh = Case.objects.get(pk=case.pk)
        for to in (Stage.RECEIVED, Stage.DELIVERED):
            if to in stages.next_stages(fresh):
                stages.move(case=fresh, to=to, by=by, lent=LENT)
    case.refresh_from_db()
    return case


def _why_not(case: Case, today: date) -> str:
    if case.stage not in (Stage.DISPATCHED, Stage.RECEIVED):
        return f"The case stands at {case.get_stage_display().lower()}: nothing is left to settle."
    if case.surgery_on is None:
        return "The case has no surgery day, so nobody can say since when a report is missing."
    day = case.surgery_on + timedelta(days=AFTER_DAYS)
    if today < day:
        return (
            f"Wait until {long_date(day)}, {AFTER_DAYS} days after the surgery day, and ask the "
            "office until then."
        )
    return "The delivery is reported. Look at it again."


def _by(values: Mapping[str, Any], by: User) -> dict[str, Any]:
    return {**values, "done_by": by, "done_at": timezone.now()}
