"""What was read off check records: points of the lower cast, or gaps behind."""

from __future__ import annotations

from decimal import Decimal

from django.db import models

from labcases.enums import CheckRecordKind
from labcases.models.base import LogLine, between, deg, mm
from labcases.models.case import Case
from labcases.validators import validate_points, validate_tooth


class CheckRecord(LogLine):
    """One reading of one record. It is struck out when wrong, never erased.

    Moved points belong to the points that were read with the casts closed (``closed``):
    after a new mounting the old ones mean nothing together with new ones.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="check_records")
    kind = models.CharField(max_length=16, choices=CheckRecordKind)
    closed = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="moved"
    )
    points = models.JSONField(default=dict, blank=True, validators=[validate_points])
    advance_mm = mm(null=True, blank=True)
    right_tooth = models.CharField(max_length=2, blank=True, validators=[validate_tooth])
    right_gap_mm = mm(null=True, blank=True)
    left_tooth = models.CharField(max_length=2, blank=True, validators=[validate_tooth])
    left_gap_mm = mm(null=True, blank=True)
    facet_deg = deg(default=Decimal("0"))
    note = models.CharField(max_length=200, blank=True)

    class Meta(LogLine.Meta):
        constraints = (
            between("advance_mm", "0", "15"),
            between("right_gap_mm", "0", "15"),
            between("left_gap_mm", "0", "15"),
            between("facet_deg", "0", "60"),
        )

    def __str__(self) -> str:
        return f"check record, {self.kind} ({self.case})"
