"""History: append-only, for everybody."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models

from labcases.models.case import Case


class AppendOnly(Exception):
    """History was about to be changed. Write a new entry instead."""


class HistoryQuerySet(models.QuerySet["HistoryEntry"]):
    def update(self, **_changes: Any) -> int:
        raise AppendOnly("History cannot be changed. Write a new entry instead.")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise AppendOnly("History cannot be erased. Write a new entry instead.")


class HistoryEntry(models.Model):
    """Who did what to which part, when, and what stood there before.

    ``changes`` maps a field's label to ``[before, after]``; fields that identify a
    patient hold ``["", "changed"]`` and never a value. Database triggers refuse
    updates and deletes as well (``labcases.models.guard``).
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="history")
    at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    position = models.CharField(max_length=100, blank=True)
    act = models.CharField(max_length=40)
    part = models.CharField(max_length=40)
    changes = models.JSONField(default=dict, blank=True)
    reason = models.TextField(blank=True)

    objects = HistoryQuerySet.as_manager()

    class Meta:
        ordering = ("id",)
        indexes = (models.Index(fields=("case", "id")),)

    def __str__(self) -> str:
        return f"{self.part}: {self.act}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk is not None:
            raise AppendOnly("History cannot be changed. Write a new entry instead.")
        super().save(*args, **kwargs)

    def delete(self, *_args: Any, **_kwargs: Any) -> tuple[int, dict[str, int]]:
        raise AppendOnly("History cannot be erased. Write a new entry instead.")
