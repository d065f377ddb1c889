"""What the desk says of open cases, kept so that it need not plan all of them to say it."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import models

from labcases.enums import Side
from labcases.enums.desk import DeskKind, DeskSection
from labcases.models.case import Case
from labcases.models.people import Organisation

ALWAYS = date(2000, 1, 1)
"""The first day of what held before anybody looked."""

NEVER = date(2999, 12, 31)
"""The last day of what holds until the case goes on, and the place of cases without a day."""


def _beside(model: str) -> models.ForeignKey[Any, Any]:
    """What a line is about. It is made again in the turn in which that row goes."""
    return models.ForeignKey(
        model,
        null=True,
        on_delete=models.DO_NOTHING,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )


class DeskRow(models.Model):
    """One thing that the desk says of a case, and from which day to which it holds.

    Nobody enters it: ``domain/desk_rows.py`` makes the rows of a case from its other rows, and
    ``domain/replanning.py`` makes them again whenever those change. Days alone pass without that,
    so a row names the ``first`` and the ``last`` day on which it holds as the case stands.
    ``on`` is the day that it speaks of, ``about`` a row of the plan, or the key of a review, of a
    liner or of a decision. ``nearest`` is the surgery day, by which lists are in order.
    """

    MADE_AGAIN = True

    case = models.ForeignKey(Case, on_delete=models.CASCADE, related_name="desk_rows")
    office = models.ForeignKey(
        Organisation, on_delete=models.CASCADE, db_index=False, related_name="+"
    )
    laboratory = models.ForeignKey(
        Organisation, on_delete=models.CASCADE, db_index=False, related_name="+"
    )
    section = models.CharField(max_length=20, choices=DeskSection)
    kind = models.CharField(max_length=16, choices=DeskKind)
    side = models.CharField(max_length=12, choices=Side, blank=True)
    about = models.CharField(max_length=24, blank=True)
    on = models.DateField(null=True)
    first = models.DateField(default=ALWAYS)
    last = models.DateField(default=NEVER)
    nearest = models.DateField(default=NEVER)
    box = _beside("labcases.Box")
    appointment = _beside("labcases.Appointment")
    supply = _beside("labcases.TeethSupply")
    question = _beside("labcases.Question")
    proposal = _beside("labcases.Proposal")
    move = _beside("labcases.DateMove")

    class Meta:
        indexes = (
            models.Index(fields=("laboratory", "section", "nearest", "case"), name="desk_lab"),
            models.Index(fields=("office", "section", "nearest", "case"), name="desk_office"),
            models.Index(
                fields=("laboratory", "section", "on", "nearest", "case"), name="desk_lab_day"
            ),
            models.Index(
                fields=("office", "section", "on", "nearest", "case"), name="desk_office_day"
            ),
            models.Index(fields=("laboratory", "section", "first", "last"), name="desk_lab_holds"),
            models.Index(fields=("office", "section", "first", "last"), name="desk_office_holds"),
        )

    def __str__(self) -> str:
        return f"{self.section}: {self.kind} ({self.case_id})"

    def holds(self, today: date) -> bool:
        return self.first <= today <= self.last
