"""Sets of denture teeth on the shelves of a laboratory, and a line for every change of them."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models

from labcases.enums import Arch, SetUpPart, ToothMaterial
from labcases.enums.teeth import StockAct
from labcases.models.base import Versioned, between, deg, mm
from labcases.models.case import Case
from labcases.models.history import AppendOnly
from labcases.models.people import Organisation

IDENTITY = ("line", "arch", "part", "mould", "shade", "material", "lot")
"""What tells two sets of one laboratory apart."""


class ToothSet(Versioned):
    """Sets that are alike, lot included, and how many of them are on the shelf.

    ``line`` is whatever the laboratory calls the teeth. ``together_mm`` is the width of the six
    front teeth together, or of the four posterior teeth of a side.
    """

    laboratory = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="tooth_sets"
    )
    line = models.CharField(max_length=80)
    arch = models.CharField(max_length=8, choices=Arch)
    part = models.CharField(max_length=12, choices=SetUpPart)
    mould = models.CharField(max_length=80)
    shade = models.CharField(max_length=30)
    material = models.CharField(max_length=12, choices=ToothMaterial)
    lot = models.CharField(max_length=60, blank=True)
    cusp_angle_deg = deg(null=True, blank=True)
    together_mm = mm(null=True, blank=True)
    shell_min_mm = mm(null=True, blank=True)
    expires_on = models.DateField(null=True, blank=True)
    shelf = models.CharField(max_length=40, blank=True)
    count = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ("arch", "part", "line", "mould", "shade", "material", "lot", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("laboratory", *IDENTITY), name="one_row_per_kind_of_set"
            ),
            between("cusp_angle_deg", "0", "60"),
            between("together_mm", "15", "150"),
            between("shell_min_mm", "0", "10"),
        )

    def __str__(self) -> str:
        lot = f", lot {self.lot}" if self.lot else ""
        return f"{self.line} {self.mould}, {self.shade}, {self.get_material_display()}{lot}"


class StockFile(models.Model):
    """A file of the stock that was looked at, and by whom it was taken in.

    What it holds is kept until it is taken in, so that what is written is what was looked at.
    """

    laboratory = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="stock_files"
    )
    content = models.BinaryField()
    rows = models.PositiveIntegerField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    taken_in_at = models.DateTimeField(null=True, blank=True)
    taken_in_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return f"{self.rows} rows for {self.laboratory}"


class StockLineQuerySet(models.QuerySet["StockLine"]):
    def update(self, **_changes: Any) -> int:
        raise AppendOnly("A line of the stock stays as it is. Count the set anew instead.")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise AppendOnly("A line of the stock is never erased. Count the set anew instead.")


class StockLine(models.Model):
    """Who changed what of a set, when, why, and how many there were before and after."""

    tooth_set = models.ForeignKey(ToothSet, on_delete=models.PROTECT, related_name="lines")
    act = models.CharField(max_length=12, choices=StockAct)
    before = models.PositiveIntegerField()
    after = models.PositiveIntegerField()
    changes = models.JSONField(default=dict, blank=True)
    why = models.CharField(max_length=240, blank=True)
    case = models.ForeignKey(
        Case, null=True, blank=True, on_delete=models.PROTECT, related_name="stock_lines"
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    objects = StockLineQuerySet.as_manager()

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return f"{self.act}: {self.before} to {self.after}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk is not None:
            raise AppendOnly("A line of the stock stays as it is. Count the set anew instead.")
        super().save(*args, **kwargs)

    def delete(self, *_args: Any, **_kwargs: Any) -> tuple[int, dict[str, int]]:
        raise AppendOnly("A line of the stock is never erased. Count the set anew instead.")
