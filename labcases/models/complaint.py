"""What came back about a denture that left the laboratory, and what was done about it."""

from __future__ import annotations

from typing import Any

from django.db import models

from labcases.enums import Side
from labcases.enums.complaints import ComplaintAct, Concern, Gravity, Outcome, Reporter
from labcases.models.base import LogLine
from labcases.models.case import Case
from labcases.models.history import AppendOnly
from labcases.models.incident import Incident
from labcases.models.statement import DeviceStatement

STRIKING = {"struck_at", "struck_by", "struck_reason"}


class StaysQuerySet(models.QuerySet[Any]):
    """What was said stays as it is; it can only be struck out, and stays readable then."""

    def update(self, **changes: Any) -> int:
        if set(changes) != STRIKING:
            raise AppendOnly("What was said of a complaint stays. Write a further entry instead.")
        return super().update(**changes)

    def delete(self) -> tuple[int, dict[str, int]]:
        raise AppendOnly("What was said of a complaint is never erased. Close it instead.")


class Complaint(LogLine):
    """One complaint, or one serious incident, as it was told. It never changes,
    and where it was entered by mistake it is struck out.

    ``known_on`` is the day on which the house that enters it came to know of it; the days within
    which somebody must be told count from there. ``incident`` is what went wrong on the way of the
    case (``models.incident``), where one hangs on the other.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="complaints")
    gravity = models.CharField(max_length=12, choices=Gravity)
    text = models.TextField("what happened", max_length=1000)
    happened_on = models.DateField("happened on", null=True, blank=True)
    known_on = models.DateField("known on")
    reporter = models.CharField("told by", max_length=12, choices=Reporter)
    concern = models.CharField("about", max_length=12, choices=Concern)
    lot = models.CharField(max_length=120, blank=True)
    statement = models.ForeignKey(
        DeviceStatement, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    incident = models.ForeignKey(
        Incident, null=True, blank=True, on_delete=models.PROTECT, related_name="complaints"
    )
    reported_from = models.CharField(max_length=12, choices=Side)

    objects = StaysQuerySet.as_manager()

    class Meta:
        ordering = ("id",)
        indexes = (models.Index(fields=("case", "id"), name="complaint_of_case"),)

    def __str__(self) -> str:
        return f"{self.get_gravity_display()} ({self.case})"


class ComplaintEntry(LogLine):
    """One thing that was found out or done. ``gravity`` is said where it was weighed anew."""

    complaint = models.ForeignKey(Complaint, on_delete=models.PROTECT, related_name="entries")
    act = models.CharField(max_length=12, choices=ComplaintAct)
    happened_on = models.DateField("day")
    text = models.TextField(max_length=1000, blank=True)
    whom = models.CharField("who was told", max_length=120, blank=True)
    gravity = models.CharField(max_length=12, choices=Gravity, blank=True)
    outcome = models.CharField(max_length=12, choices=Outcome, blank=True)

    objects = StaysQuerySet.as_manager()

    class Meta:
        ordering = ("id",)
        constraints = (
            models.CheckConstraint(
                name="closed_with_an_outcome",
                condition=(models.Q(act="closed") & ~models.Q(outcome=""))
                | (~models.Q(act="closed") & models.Q(outcome="")),
            ),
        )

    def __str__(self) -> str:
        return f"{self.act} ({self.complaint_id})"

    @property
    def case(self) -> Case:
        return self.complaint.case
