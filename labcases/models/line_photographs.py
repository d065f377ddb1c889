"""Photographs of the case that show what a line of the set-up log says."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.models.files import Attachment
from labcases.models.setup import SetUpEntry


class LinePhotograph(models.Model):
    """Binds a photograph to a line. Taking the photograph out of view takes it off the line."""

    entry = models.ForeignKey(SetUpEntry, on_delete=models.PROTECT, related_name="photographs")
    photograph = models.ForeignKey(Attachment, on_delete=models.PROTECT, related_name="lines")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("id",)
        constraints = (
            models.UniqueConstraint(
                fields=("entry", "photograph"), name="one_photograph_once_a_line"
            ),
        )

    def __str__(self) -> str:
        return f"{self.photograph} of {self.entry}"
