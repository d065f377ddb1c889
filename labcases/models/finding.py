"""What the engine said, with what it was told."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import CheckKind
from labcases.enums.marks import Decision
from labcases.models.case import Case
from labcases.models.proposal import Proposal


class KeptAnswer(models.Model):
    """One answer of the engine. It is stale when its inputs are no longer the case's."""

    inputs = models.JSONField()
    inputs_digest = models.CharField(max_length=64)
    findings = models.JSONField()
    engine_version = models.CharField(max_length=20)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        abstract = True
        ordering = ("id",)


class CheckRun(KeptAnswer):
    """An answer about the whole case: the clearance check, or the height budget."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="check_runs")
    kind = models.CharField(max_length=16, choices=CheckKind)
    taken_back = models.CharField(max_length=200, blank=True)
    """Why the answer counts no longer although its inputs are unchanged."""

    class Meta(KeptAnswer.Meta):
        indexes = (models.Index(fields=("case", "kind", "id")),)

    def __str__(self) -> str:
        return f"{self.kind} of {self.case}"


class MarksCompared(KeptAnswer):
    """Marks of foil held against the prediction, and what was decided about the one change."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="marks_compared")
    decision = models.CharField(max_length=12, choices=Decision, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    """Why the change was left."""
    proposal = models.ForeignKey(
        Proposal, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta(KeptAnswer.Meta):
        constraints = (
            models.CheckConstraint(
                name="marks_left_with_a_reason",
                condition=~models.Q(decision=Decision.LEFT) | ~models.Q(reason=""),
            ),
        )

    def __str__(self) -> str:
        return f"marks compared, {self.case}"
