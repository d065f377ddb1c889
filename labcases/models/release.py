"""The release of the finished denture."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db import models

from labcases.enums.lots import LotOf
from labcases.models.base import LogLine, Versioned, between, mm
from labcases.models.case import Case


class Release(Versioned):
    """Lots, disinfection and the last look before a denture leaves the laboratory.

    The remount has lines of its own (``models.remount``), and lots have (``ReleaseLot``); the pin
    readings and the text of lots here were entered before that, and are only read.
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


class ReleaseLot(LogLine):
    """A lot that is in the denture and stands nowhere else: a repair, a liner, teeth of before."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="release_lots")
    lot_of = models.CharField(max_length=12, choices=LotOf)
    product = models.CharField(max_length=120, blank=True)
    lot = models.CharField(max_length=200)
    note = models.CharField(max_length=200, blank=True)

    class Meta(LogLine.Meta):
        constraints = (
            models.CheckConstraint(name="release_lot_is_said", condition=~models.Q(lot="")),
        )

    def __str__(self) -> str:
        return f"{self.lot_of}: lot {self.lot}"
