"""The set-up log: what was done at the bench, line by line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import models

from labcases.enums import Movement, SetUpAct, SetUpPart
from labcases.models.base import LogLine, between, mm
from labcases.models.case import Case
from labcases.validators import validate_tooth_list

if TYPE_CHECKING:
    from labcases.models.marks import Mark  # noqa: F401


class SetUpEntry(LogLine):
    """A line of the log. It is struck out when wrong, never erased.

    A pass keeps its teeth here in mouth order, and what is said of each in its ``marks``;
    ``mark`` is the mark that a reduction was made for.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="setup_entries")
    act = models.CharField(max_length=16, choices=SetUpAct)
    teeth = models.JSONField(default=list, blank=True, validators=[validate_tooth_list])
    part = models.CharField(max_length=12, choices=SetUpPart, blank=True)
    movement = models.CharField(max_length=16, choices=Movement, blank=True)
    as_wanted = models.BooleanField(null=True)
    separable_base = models.BooleanField(null=True)
    mark = models.ForeignKey(
        "labcases.Mark",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="reductions",
    )
    before_mm = mm(null=True, blank=True)
    after_mm = mm(null=True, blank=True)
    shell_left_mm = mm(null=True, blank=True)
    base_mm = mm("base under the tooth mm", null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta(LogLine.Meta):
        constraints = (
            between("before_mm", "-10", "40"),
            between("after_mm", "-10", "40"),
            between("shell_left_mm", "0", "10"),
            between("base_mm", "0", "10"),
        )

    def __str__(self) -> str:
        return f"{self.act} ({self.case})"
