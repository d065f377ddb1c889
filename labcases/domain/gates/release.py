"""What must be true before the release, and reported of the delivery."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils import timezone

from labcases.domain.gates.missing import MANAGER, Missing
from labcases.domain.gates.remount import remount_done
from labcases.models import Case


def release_ready(case: Case) -> Iterator[Missing]:
    """Beside the remount: lots, disinfection and the second look."""
    yield from remount_done(case)
    row = getattr(case, "release", None)
    if row is None:
        yield Missing("Enter lots and disinfection of the finished denture.", "release", "lots")
        return
    if not row.lots:
        yield Missing("Enter the lots of resin and teeth.", "release", "lots", MANAGER)
    if not (row.agent and row.label_minutes and row.actual_minutes):
        yield Missing("Enter how the denture was disinfected.", "release", "agent")
    elif row.actual_minutes < row.label_minutes:
        yield Missing(
            f"The denture was disinfected for {row.actual_minutes} of {row.label_minutes} "
            "minutes. Repeat it and enter the new time.",
            "release",
            "actual_minutes",
        )
    if row.second_look_at is None:
        yield Missing("A second person has not looked at the denture.", "release", "", MANAGER)


def delivery_reported(case: Case) -> Iterator[Missing]:
    row = getattr(case, "delivery", None)
    if row is None or not row.checked_on_arrival:
        yield Missing(
            "Check the denture as it arrived and tick it.", "delivery", "checked_on_arrival"
        )
    if row is None or row.delivered_on is None:
        yield Missing("Enter the day of delivery.", "delivery", "delivered_on")
    elif row.delivered_on > timezone.localdate():
        yield Missing("The day of delivery lies ahead. Correct it.", "delivery", "delivered_on")
    if row is not None and row.seats_without_force is None:
        yield Missing(
            "Say whether the denture seats without force.", "delivery", "seats_without_force"
        )
