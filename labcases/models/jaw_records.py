"""Jaw records as they were taken in the mouth. A log: struck out when wrong, never erased."""

from __future__ import annotations

from django.db import models

from labcases.enums import RecordKind
from labcases.models.base import LogLine, between, mm
from labcases.models.case import Case


class TakenRecord(LogLine):
    """One record: which relation of the jaws it holds, and the vertical that it holds it at."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="taken_records")
    kind = models.CharField(max_length=24, choices=RecordKind)
    material = models.CharField(max_length=80, blank=True)
    taken_at = models.DateTimeField()
    taken_by = models.CharField(max_length=80)
    vertical_mm = mm(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta(LogLine.Meta):
        constraints = (between("vertical_mm", "20", "120"),)

    def __str__(self) -> str:
        return f"{self.kind} record"
