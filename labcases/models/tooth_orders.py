"""The teeth of one case: taken from stock, ordered, arrived, or replaced by others."""

from __future__ import annotations

from django.db import models

from labcases.enums import Arch, SetUpPart, ToothMaterial
from labcases.enums.teeth import TeethFrom, TeethState
from labcases.models.base import Versioned
from labcases.models.case import Case
from labcases.models.stock import ToothSet
from labcases.validators import validate_tooth

STANDING = (TeethState.ORDERED, TeethState.IN_HAND)
"""States in which a row counts for the case."""


class TeethSupply(Versioned):
    """The set for one part of an arch, or a single tooth in place of one of that set.

    Line, mould, shade, material and lot stand here as they were when the teeth were taken or
    ordered: the set on the shelf may be changed later. ``revision`` is the prescription's.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="tooth_supplies")
    arch = models.CharField(max_length=8, choices=Arch)
    part = models.CharField(max_length=12, choices=SetUpPart)
    tooth = models.CharField(max_length=2, blank=True, validators=[validate_tooth])
    source = models.CharField(max_length=8, choices=TeethFrom)
    state = models.CharField(max_length=12, choices=TeethState)
    tooth_set = models.ForeignKey(
        ToothSet, null=True, blank=True, on_delete=models.PROTECT, related_name="supplies"
    )
    line = models.CharField(max_length=80, blank=True)
    mould = models.CharField(max_length=80, blank=True)
    shade = models.CharField(max_length=30, blank=True)
    material = models.CharField(max_length=12, choices=ToothMaterial, blank=True)
    lot = models.CharField(max_length=120, blank=True)
    supplier = models.CharField(max_length=80, blank=True)
    ordered_on = models.DateField(null=True, blank=True)
    lead_days = models.PositiveSmallIntegerField(null=True, blank=True)
    held_up = models.CharField(max_length=200, blank=True)
    """Why an order does not come when it should; empty once it is here."""
    arrived_on = models.DateField(null=True, blank=True)
    counted = models.PositiveSmallIntegerField(null=True, blank=True)
    differences = models.CharField(max_length=200, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    ended_why = models.CharField(max_length=240, blank=True)
    revision = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ("id",)
        constraints = (
            models.UniqueConstraint(
                fields=("case", "arch", "part", "tooth"),
                condition=models.Q(state__in=STANDING),
                name="one_standing_supply_per_part",
            ),
        )

    def __str__(self) -> str:
        return f"{self.arch} {self.part} teeth: {self.state}"
