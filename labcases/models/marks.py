"""Marks of foil: which teeth marked in a pass, how strongly, and with which cusps."""

from __future__ import annotations

from django.db import models

from labcases.enums.marks import Cusps, Excursions, Strength
from labcases.models.setup import SetUpEntry
from labcases.validators import validate_tooth


class Mark(models.Model):
    """One tooth that marked in one pass. It stands and is struck out with its pass."""

    entry = models.ForeignKey(SetUpEntry, on_delete=models.PROTECT, related_name="marks")
    tooth = models.CharField(max_length=2, validators=[validate_tooth])
    strength = models.CharField(max_length=8, choices=Strength, blank=True)
    cusps = models.CharField(max_length=8, choices=Cusps, blank=True)
    in_excursions = models.CharField(max_length=12, choices=Excursions, blank=True)
    """Of a mark in centric, where the passes in the excursions do not tell."""

    class Meta:
        ordering = ("id",)
        constraints = (
            models.UniqueConstraint(fields=("entry", "tooth"), name="one_mark_per_tooth_and_pass"),
        )

    def __str__(self) -> str:
        return f"{self.tooth} {self.strength}".strip()
