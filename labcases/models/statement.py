"""The statement that goes with a custom-made device, as it was drawn up."""

from __future__ import annotations

from django.db import models

from labcases.models.base import LogLine
from labcases.models.case import Case


class DeviceStatement(LogLine):
    """One statement. It is frozen; what is wrong is struck out, and another one drawn up.

    ``items`` are the rows as they are printed: number, words, text. ``profiles`` are the keys of
    the places that were asked about, ``kept`` says how long it is kept and by which rule.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="statements")
    number = models.PositiveSmallIntegerField(default=1)
    revision = models.PositiveIntegerField()
    profiles = models.JSONField(default=list)
    items = models.JSONField(default=list)
    kept = models.CharField(max_length=200)

    class Meta(LogLine.Meta):
        constraints = (
            models.UniqueConstraint(fields=("case", "number"), name="one_row_per_statement"),
        )

    def __str__(self) -> str:
        return f"statement {self.number} of {self.case}"
