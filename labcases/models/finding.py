"""What the engine said, with what it was told."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import CheckKind
from labcases.models.case import Case


class CheckRun(models.Model):
    """One answer of the engine. It is stale when its inputs are no longer the case's."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="check_runs")
    kind = models.CharField(max_length=16, choices=CheckKind)
    inputs = models.JSONField()
    inputs_digest = models.CharField(max_length=64)
    findings = models.JSONField()
    engine_version = models.CharField(max_length=20)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    taken_back = models.CharField(max_length=200, blank=True)
    """Why the answer counts no longer although its inputs are unchanged."""

    class Meta:
        ordering = ("id",)
        indexes = (models.Index(fields=("case", "kind", "id")),)

    def __str__(self) -> str:
        return f"{self.kind} of {self.case}"
