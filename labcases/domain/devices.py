"""The dentures that a laboratory sent out in a period, for places that may ask for such a list."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from labcases.domain import delivered, quality_reading
from labcases.domain.profiles import STRICT
from labcases.enums import Stage
from labcases.models import Case, Organisation
from labcases.reference import devices
from labcases.reference.devices import ListAsked


@dataclass(frozen=True)
class Device:
    """One denture: what it is, for whom, and when. Of the patient nothing but the code."""

    code: str
    what: str
    patient_code: str
    office: str
    dispatched_on: date
    delivered_on: date | None
    no_day: str
    """What stands in place of the day of delivery while there is none."""
    statement: int | None
    stated_on: date | None


def asks(house: Organisation) -> list[ListAsked]:
    """The texts by which somebody may ask this house for the list; the strict profile has all."""
    if not house.is_laboratory:
        return []
    return [
        one for one in devices.asked() if house.profile in one.profiles or house.profile == STRICT
    ]


def sent_out(
    laboratory: Organisation, *, since: date, until: date, office: int | None = None
) -> list[Device]:
    """The dentures that left in a period, by the day of their last dispatch.

    Parameters
    ----------
    laboratory : Organisation
        Whose.
    since, until : date
        The first and the last day.
    office : int, optional
        The key of the one office to which they went.
    """
    paths = quality_reading.ways(laboratory, since, until, office)
    left = {
        path.case: on
        for path in paths
        if (on := path.last(Stage.DISPATCHED)) is not None and since <= on <= until
    }
    rows = Case.objects.filter(pk__in=left).select_related("office", "patient", "delivery")
    rows = rows.prefetch_related("prescriptions", "statements")
    found = [_device(case, left[case.pk]) for case in rows]
    return sorted(found, key=lambda one: (one.dispatched_on, one.code))


def _device(case: Case, on: date) -> Device:
    row = case.prescription
    standing = [one for one in case.statements.all() if one.struck_at is None]
    report = getattr(case, "delivery", None)
    base = f", {row.get_base_material_display().lower()}" if row.base_material else ""
    return Device(
        code=case.code,
        what=f"{row.get_arch_display()} immediate denture{base}",
        patient_code=case.patient.code,
        office=case.office.name,
        dispatched_on=on,
        delivered_on=report.delivered_on if report else None,
        no_day=delivered.no_day_words(case, timezone.localdate()),
        statement=standing[-1].number if standing else None,
        stated_on=timezone.localdate(standing[-1].at) if standing else None,
    )
