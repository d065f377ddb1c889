"""A case that rests or has ended: what comes back, what became stale, how long it is kept."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

from labcases.domain import ending, identity, queries, retention
from labcases.domain.inventory import Held
from labcases.domain.retention import Kept
from labcases.enums import ENDED_EARLY, AppointmentStatus
from labcases.models import Appointment, Case
from labcases.templatetags.units import due_date, long_date


@dataclass(frozen=True)
class Rest:
    """What the page of a case that stands still says beside its reason."""

    held: list[Held]
    stale: list[str]
    kept: Kept | None
    undelivered: bool
    frozen: str
    silent: bool


def rest_of(case: Case) -> Rest | None:
    """Nothing while the case goes on."""
    if case.is_open and not case.on_hold:
        return None
    return Rest(
        held=ending.to_be_returned(case),
        stale=list(_stale(case)) if case.is_open else [],
        kept=retention.of_case(case),
        undelivered=case.stage in ENDED_EARLY and not _delivered(case),
        frozen=" ".join(identity.lacks(one) for one in identity.doubts(case)),
        silent=case.silent,
    )


def _delivered(case: Case) -> bool:
    report = getattr(case, "delivery", None)
    return bool(report and report.delivered_on)


def _dropped_by_the_hold(case: Case) -> Iterable[Appointment]:
    """Dates that were dropped when the case was put on hold, or since."""
    held = case.history.filter(part="case", act="put on hold").order_by("id").last()
    rows = case.appointments.filter(status=AppointmentStatus.DROPPED).order_by("on", "id")
    return rows.filter(changed_at__gte=held.at - timedelta(seconds=1)) if held else ()


def _stale(case: Case) -> list[str]:
    """What became stale while the case was on hold: dates that have passed, and dropped ones."""
    found = [
        f"{row.name} should have begun by {due_date(row.on)}: "
        f"{row.late_days} working {'day' if row.late_days == 1 else 'days'} ago."
        for row in queries.plan_if_open(case)
        if row.late
    ]
    found += [
        f"{row.get_kind_display()} of {long_date(row.on)} was dropped. Book it again if it is "
        "wanted."
        for row in _dropped_by_the_hold(case)
    ]
    if case.surgery_on and not case.surgery_confirmed_at:
        found.append("The surgery day is not confirmed by the dentist.")
    age = ending.cast_age_days(case, case.surgery_on)
    if age is not None and age > ending.CAST_AGE_DAYS:
        found.append(
            f"The last impression will be {age} days old at surgery: natural teeth drift and break "
            "(common practice, no source)."
        )
    return found
