"""Materials that a laboratory keeps a list of: its denture bases, liners and tooth repairs."""

from __future__ import annotations

from django.db import models

from labcases.enums.curing import Technique
from labcases.enums.materials import Monomer, OwnKind
from labcases.models.base import Versioned
from labcases.models.people import Organisation


class OwnMaterial(Versioned):
    """A material as its label names it.

    What went into a case keeps the name in its own line, so that an old case reads the same
    whatever becomes of this row. The name stands fast: cycles and lines are found by it.
    """

    laboratory = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="own_materials"
    )
    called = models.CharField("name", max_length=120)
    kind = models.CharField(max_length=16, choices=OwnKind)
    technique = models.CharField(max_length=16, choices=Technique, blank=True)
    monomer = models.CharField(max_length=8, choices=Monomer)
    note = models.CharField(max_length=200, blank=True)
    stopped_at = models.DateTimeField(null=True, blank=True)
    stopped_why = models.CharField("why it is used no more", max_length=200, blank=True)

    class Meta:
        ordering = ("kind", "called", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("laboratory", "called"), name="one_row_per_own_material"
            ),
        )

    def __str__(self) -> str:
        return self.called
