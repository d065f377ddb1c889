"""What is known of a delivery: whether it is reported, the plan of the surgery. Reads only."""

from __future__ import annotations

from datetime import date, timedelta

from labcases.enums import BoxContent, Stage, ToothStatus
from labcases.enums.case import ENDED_EARLY
from labcases.models import ArrivalCheck, Box, Case, Delivery, Surgery

AFTER_DAYS = 14
"""Days after the surgery day from which a delivery may be settled as unreported (a house value)."""

OTHERWISE = "surgeon-did-otherwise"
_AT_SURGERY = (ToothStatus.EXTRACT_AT_SURGERY, ToothStatus.STOP)


def settled_unreported(case: Case) -> bool:
    """Somebody said that the denture is delivered and nobody reported it."""
    row: Delivery | None = getattr(case, "delivery", None)
    return row is not None and not row.reported


def unreported_from(case: Case) -> date | None:
    """The day from which a denture that left may be settled as unreported, 14 days after surgery.

    Nothing as long as it has not left, without a surgery day, and once somebody has reported it.
    """
    if case.stage not in (Stage.DISPATCHED, Stage.RECEIVED) or case.surgery_on is None:
        return None
    row: Delivery | None = getattr(case, "delivery", None)
    if row is not None and row.delivered_on is not None:
        return None
    return case.surgery_on + timedelta(days=AFTER_DAYS)


def is_unreported(case: Case, today: date) -> bool:
    """The denture left, 14 days went by since the surgery day, and nobody has reported it."""
    first = unreported_from(case)
    return first is not None and today >= first


def words(case: Case, today: date) -> str:
    """What both desks read of a delivery that nobody reported; else nothing."""
    if case.surgery_on and is_unreported(case, today):
        days = (today - case.surgery_on).days
        return f"Delivered, not reported: the surgery day was {days} days ago."
    return ""


def no_day_words(case: Case, today: date) -> str:
    """What stands in place of the day of delivery while there is none.

    A report is missing from the day on which the delivery may be settled as unreported, or
    where the case went on without one; before that the denture is only not yet delivered.
    """
    if case.stage in ENDED_EARLY:
        return "not delivered"
    late = case.stage in (Stage.DELIVERED, Stage.IN_REVIEW, Stage.CLOSED)
    return "not reported" if late or is_unreported(case, today) else "not yet delivered"


def came(case: Case) -> list[Box]:
    """Boxes with the denture that the office took in."""
    return [
        box
        for box in case.boxes.all()
        if box.comes_to == "office"
        and box.received_at
        and not box.trouble
        and any(item.content == BoxContent.DENTURE for item in box.items.all())
    ]


def came_since(case: Case, row: ArrivalCheck) -> bool:
    """A box with the denture was taken in after it was checked."""
    checked = row.done_at
    return checked is not None and any(
        box.received_at and box.received_at > checked for box in came(case)
    )


def planned(case: Case) -> list[str]:
    """The teeth that were to come out at surgery."""
    told = case.prescription.teeth
    return sorted(tooth for tooth, status in told.items() if status in _AT_SURGERY)


def otherwise(case: Case, row: Surgery) -> tuple[list[str], list[str]]:
    """Teeth that were kept against the plan, and those that were taken beside it."""
    plan, out = set(planned(case)), set(row.teeth_out)
    return sorted(plan - out), sorted(out - plan)


def reported_otherwise(case: Case) -> bool:
    """The other teeth are reported, so that the laboratory knows."""
    return any(row.kind == OTHERWISE and row.struck_at is None for row in case.incidents.all())
