"""History of a house: what was changed of its people, links and settings; append-only."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils import timezone

from labcases.models.history import AppendOnly
from labcases.models.people import Organisation


class HouseEntryQuerySet(models.QuerySet["HouseEntry"]):
    def update(self, **_changes: Any) -> int:
        raise AppendOnly("History cannot be changed. Write a new entry instead.")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise AppendOnly("History cannot be erased. Write a new entry instead.")


class HouseEntry(models.Model):
    """Who did what to a part of a house, when, and what stood there before.

    It belongs to no case, so it stands outside of the chain of a laboratory's cases. Database
    triggers refuse updates and deletes (``labcases.models.guard``).
    """

    organisation = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="house_entries"
    )
    at = models.DateTimeField(default=timezone.now, editable=False)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    position = models.CharField(max_length=100, blank=True)
    act = models.CharField(max_length=40)
    part = models.CharField(max_length=40)
    changes = models.JSONField(default=dict, blank=True)
    reason = models.CharField(max_length=200, blank=True)

    objects = HouseEntryQuerySet.as_manager()

    class Meta:
        ordering = ("-id",)
        indexes = (models.Index(fields=("organisation", "-id"), name="house_entry_newest"),)

    def __str__(self) -> str:
        return f"{self.part}: {self.act}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk is not None:
            raise AppendOnly("History cannot be changed. Write a new entry instead.")
        super().save(*args, **kwargs)

    def delete(self, *_args: Any, **_kwargs: Any) -> tuple[int, dict[str, int]]:
        raise AppendOnly("History cannot be erased. Write a new entry instead.")
