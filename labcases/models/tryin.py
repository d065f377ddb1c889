"""A posterior try-in: out, judged by the dentist, back."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import TryInOutcome
from labcases.models.base import Versioned, between, mm
from labcases.models.case import Case


class TryIn(Versioned):
    """``answers`` maps a checklist line's key to ok, change or redo."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="try_ins")
    number = models.PositiveSmallIntegerField(default=1)
    revision = models.PositiveIntegerField()
    opened_at = models.DateTimeField(auto_now_add=True)
    answers = models.JSONField(default=dict, blank=True)
    vertical_mm = mm(null=True, blank=True)
    outcome = models.CharField(max_length=24, choices=TryInOutcome, blank=True)
    changes = models.TextField(max_length=1000, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)
    paper = models.ForeignKey(
        "labcases.SignedPaper",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    """The signed paper that says so, where nobody of the office said it by log-in."""
    taken_back = models.CharField(max_length=200, blank=True)
    """Why the verdict counts no longer: what it judged is gone."""

    class Meta:
        ordering = ("number",)
        constraints = (
            models.UniqueConstraint(fields=("case", "number"), name="one_row_per_try_in"),
            between("vertical_mm", "20", "120"),
        )

    def __str__(self) -> str:
        return f"try-in {self.number} of {self.case}"

    @property
    def decided(self) -> str:
        """Who decided, or the paper that says it."""
        return self.paper.words if self.paper else str(self.decided_by)
