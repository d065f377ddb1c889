"""A complaint of the demonstration: told by the office, and looked into at the laboratory."""

from __future__ import annotations

from django.utils import timezone

from labcases.domain import complaints
from labcases.enums.complaints import ComplaintAct, Concern, Gravity, Reporter
from labcases.management.walk import Walk


def complained_of(walk: Walk) -> None:
    """A corner of the base came off; no harm was done."""
    today = timezone.localdate()
    row = complaints.enter(
        case=walk.reload(),
        by=walk.hands.office_desk,
        values={
            "text": "A corner of the flange came off while it was cleaned.",
            "gravity": Gravity.COMPLAINT,
            "concern": Concern.DENTURE,
            "reporter": Reporter.PATIENT,
            "known_on": today,
        },
    )
    complaints.add(
        complaint=row,
        by=walk.hands.manager,
        values={
            "act": ComplaintAct.LOOKED,
            "happened_on": today,
            "text": "The piece is clean-edged and without voids. It waits for the denture.",
        },
    )
