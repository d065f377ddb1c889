"""What was asked to be erased, why it is kept all the same, and when it goes."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import AskedBy
from labcases.models.case import Case


class Erasure(models.Model):
    """One request as it falls on one case: who asked, until when it is kept and by which rule.

    It stays when the rest of the case is gone, so it holds nothing that leads to the patient.
    """

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="erasure")
    asked_by = models.CharField(max_length=20, choices=AskedBy)
    asked_on = models.DateField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    kept_until = models.DateField()
    kept_years = models.PositiveSmallIntegerField()
    counted_from = models.DateField()
    counted = models.CharField(max_length=40)
    rule = models.CharField(max_length=120)
    pictures = models.PositiveIntegerField(default=0)
    """So many pictures were taken out of view at the request."""
    erased_at = models.DateTimeField(null=True, blank=True)
    erased_rows = models.PositiveIntegerField(default=0)
    erased_files = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ("kept_until", "id")

    def __str__(self) -> str:
        return f"erasure of {self.case.code}, {self.kept_until:%Y-%m-%d}"
