"""Boxes that travel between office and laboratory, and what is in them."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import BoxContent, BoxDirection
from labcases.models.base import Versioned
from labcases.models.case import Case


class Box(Versioned):
    """A movement: packed, sent, received and counted."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="boxes")
    direction = models.CharField(max_length=20, choices=BoxDirection)
    courier = models.CharField(max_length=80, blank=True)
    packed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    packed_at = models.DateTimeField(auto_now_add=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    received_at = models.DateTimeField(null=True, blank=True)
    received_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ("packed_at", "id")

    def __str__(self) -> str:
        return f"box {self.direction}"


class BoxItem(models.Model):
    """One kind of thing in a box, with its count and how it was disinfected."""

    box = models.ForeignKey(Box, on_delete=models.CASCADE, related_name="items")
    content = models.CharField(max_length=20, choices=BoxContent)
    count = models.PositiveSmallIntegerField(default=1)
    agent = models.CharField(max_length=80, blank=True)
    label_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    actual_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    received_count = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ("id",)
        constraints = (
            models.CheckConstraint(name="boxitem_count_range", condition=models.Q(count__gte=1)),
        )

    def __str__(self) -> str:
        return f"{self.count} x {self.content}"

    @property
    def needs_disinfection(self) -> bool:
        """Photographs are the only content that has never been near a mouth."""
        return self.content != BoxContent.PHOTOGRAPHS

    @property
    def disinfection_declared(self) -> bool:
        return bool(self.agent and self.label_minutes and self.actual_minutes)

    @property
    def disinfection_too_short(self) -> bool:
        return bool(
            self.label_minutes and self.actual_minutes and self.actual_minutes < self.label_minutes
        )
