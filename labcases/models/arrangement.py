"""A tooth that is set otherwise than the natural one: what a line of the set-up log says of it."""

from __future__ import annotations

from django.db import models

from labcases.enums.arrangement import Deviation, WantedBy
from labcases.models.base import between, deg, mm
from labcases.models.setup import SetUpEntry


class ArrangementChange(models.Model):
    """How, by how much, and on whose word; the tooth and further words stand in its line."""

    entry = models.OneToOneField(SetUpEntry, on_delete=models.PROTECT, related_name="arrangement")
    deviation = models.CharField(max_length=16, choices=Deviation)
    amount_mm = mm(null=True, blank=True)
    amount_deg = deg(null=True, blank=True)
    wanted_by = models.CharField(max_length=12, choices=WantedBy)

    class Meta:
        constraints = (
            between("amount_mm", "0.1", "10"),
            between("amount_deg", "0.5", "90"),
        )

    def __str__(self) -> str:
        return f"{self.deviation} ({self.entry.case})"
