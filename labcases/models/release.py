"""After processing: remount, release and what the office reports."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db import models

from labcases.models.base import Versioned, between, mm
from labcases.models.case import Case


class Release(Versioned):
    """Lots, disinfection and the last look before a denture leaves the laboratory.

    The remount has lines of its own (``models.remount``); the pin readings here were entered
    before that, and are only read.
    """

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="release")
    pin_rise_mm = mm(null=True, blank=True)
    pin_after_mm = mm(null=True, blank=True)
    rise_limit_mm = mm(default=Decimal("0.5"))
    lots = models.CharField(max_length=200, blank=True)
    agent = models.CharField(max_length=80, blank=True)
    label_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    actual_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    finished_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    second_look_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    second_look_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = (
            between("pin_rise_mm", "-2", "10"),
            between("pin_after_mm", "-2", "10"),
            between("rise_limit_mm", "0", "2"),
        )

    def __str__(self) -> str:
        return f"release of {self.case}"


class DeliveryReport(Versioned):
    """What the dentist saw at surgery and delivery."""

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="delivery")
    checked_on_arrival = models.BooleanField(default=False)
    delivered_on = models.DateField(null=True, blank=True)
    seats_without_force = models.BooleanField(null=True)
    after_care_given = models.BooleanField(default=False)
    note = models.TextField(max_length=1000, blank=True)

    def __str__(self) -> str:
        return f"delivery of {self.case}"
