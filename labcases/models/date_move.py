"""A date that one house moved, until the other house has seen it."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import AppointmentKind, Side
from labcases.models.case import Case

SURGERY = "surgery"


class DateMove(models.Model):
    """What was moved, from when to when, by whom, and who of the other house has seen it."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="date_moves")
    what = models.CharField(max_length=30)
    """``surgery``, or the kind of an appointment."""
    before = models.DateField(null=True, blank=True)
    """Nothing where it was booked anew."""
    after = models.DateField(null=True, blank=True)
    """Nothing where it was dropped."""
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    told = models.CharField(max_length=12, choices=Side)
    seen_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    seen_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("at", "id")
        indexes = (models.Index(fields=("case",), condition=models.Q(seen_at=None), name="unseen"),)
        constraints = (
            models.CheckConstraint(
                name="datemove_seen_by_somebody",
                condition=models.Q(seen_by__isnull=True, seen_at__isnull=True)
                | models.Q(seen_by__isnull=False, seen_at__isnull=False),
            ),
            models.CheckConstraint(
                name="datemove_changes_something",
                condition=~models.Q(before__isnull=True, after__isnull=True),
            ),
        )

    def __str__(self) -> str:
        return f"{self.words} of case {self.case_id}"

    @property
    def words(self) -> str:
        """What was moved: "Surgery", "Try-in"."""
        if self.what == SURGERY:
            return "Surgery"
        return str(AppointmentKind(self.what).label)
