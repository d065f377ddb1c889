"""How stone teeth were cut from the cast: what a line of the set-up log says of each of them."""

from __future__ import annotations

from django.db import models

from labcases.enums import TrimMethod
from labcases.models.base import between, mm
from labcases.models.setup import SetUpEntry
from labcases.validators import validate_tooth


class CastTrim(models.Model):
    """What one line of the log says of the trimming; it is struck out with its line."""

    entry = models.OneToOneField(SetUpEntry, on_delete=models.PROTECT, related_name="trim")
    method = models.CharField(max_length=16, choices=TrimMethod)
    words = models.CharField(max_length=200, blank=True)
    """How, where the method is none of those that are listed."""

    def __str__(self) -> str:
        return f"{self.method} ({self.entry.case})"


class ToothTrim(models.Model):
    """What is gone at one tooth, from the cast as it was poured. Nothing here is computed."""

    trim = models.ForeignKey(CastTrim, on_delete=models.PROTECT, related_name="teeth")
    tooth = models.CharField(max_length=2, validators=[validate_tooth])
    place = models.PositiveSmallIntegerField()
    """In which order the teeth of this line were cut, from 1."""
    labial_mm = mm()
    crest_mm = mm(null=True, blank=True)
    palatal_mm = mm(null=True, blank=True)
    """On the tongue's side, in a lower arch as well."""
    apical_third = models.BooleanField(default=False)
    """The trim reaches the third of the labial height that lies towards the root's tip."""

    class Meta:
        ordering = ("place",)
        constraints = (
            models.UniqueConstraint(fields=("trim", "tooth"), name="one_trim_per_tooth_of_a_line"),
            between("labial_mm", "0", "10"),
            between("crest_mm", "0", "10"),
            between("palatal_mm", "0", "10"),
        )

    def __str__(self) -> str:
        return f"{self.tooth} ({self.trim})"
