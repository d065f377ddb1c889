"""Finishing: the identification mark, the template, and the text that the office gives."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.models.base import Versioned, between, mm
from labcases.models.case import Case


class MarkText(Versioned):
    """The text of the mark, held apart: the office writes it, finishing reads it, no paper does."""

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="mark_row")
    mark_text = models.CharField("text of the mark", max_length=60, blank=True)

    def __str__(self) -> str:
        return "text held by the office"


class Finishing(Versioned):
    """What is confirmed of the finished denture before a second person looks at it.

    ``mark_digest`` is of the text that was placed, so that a later change of it is seen without
    the text standing here.
    """

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="finishing")
    mark_placed = models.BooleanField(null=True)
    mark_digest = models.CharField(max_length=64, blank=True)
    template_made = models.BooleanField(null=True)
    template_seats = models.BooleanField(null=True)
    template_lot = models.CharField(max_length=80, blank=True)
    template_mm = mm("template thickness mm", null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    finished_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = (between("template_mm", "0.3", "5"),)

    def __str__(self) -> str:
        return f"finishing of {self.case}"
