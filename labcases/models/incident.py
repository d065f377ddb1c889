"""What went wrong with a case, who has read it, and who looked again whose case it is."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import Side, Stage
from labcases.models.base import LogLine
from labcases.models.case import Case
from labcases.models.casts import Cast
from labcases.models.question import Question
from labcases.validators import validate_tooth_list


class Incident(LogLine):
    """One report. It is closed with what was done, or struck out when it was wrong.

    ``kind`` is a key of ``reference/incidents.toml``. What it undid is kept as the sentences
    that stood in the preview, so that the row can be read when the table has changed.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="incidents")
    kind = models.CharField(max_length=40)
    title = models.CharField(max_length=120)
    answer = models.CharField(max_length=20, blank=True)
    answer_words = models.CharField(max_length=120, blank=True)
    text = models.TextField(max_length=1000)
    teeth = models.JSONField(default=list, blank=True, validators=[validate_tooth_list])
    cast = models.ForeignKey(
        Cast, null=True, blank=True, on_delete=models.PROTECT, related_name="incidents"
    )
    allergy = models.CharField(max_length=200, blank=True)
    new_day = models.DateField(null=True, blank=True)
    stage_before = models.CharField(max_length=24, choices=Stage)
    stage_after = models.CharField(max_length=24, choices=Stage)
    revision = models.CharField(max_length=40, blank=True)
    undid = models.JSONField(default=list, blank=True)
    told = models.JSONField(default=list, blank=True)
    days_lost = models.PositiveSmallIntegerField(default=0)
    surgery_was = models.DateField(null=True, blank=True)
    question = models.ForeignKey(
        Question, null=True, blank=True, on_delete=models.PROTECT, related_name="incidents"
    )
    reported_from = models.CharField(max_length=12, choices=Side)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    done = models.TextField(max_length=1000, blank=True)

    class Meta(LogLine.Meta):
        indexes = (models.Index(fields=("case", "id")),)

    def __str__(self) -> str:
        return f"{self.title} ({self.case})"

    @property
    def is_open(self) -> bool:
        return self.closed_at is None and self.struck_at is None


class IncidentRead(models.Model):
    """One person has read one report; a report that is told stays new until then."""

    incident = models.ForeignKey(Incident, on_delete=models.PROTECT, related_name="reads")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("incident", "user"), name="one_reading_of_an_incident"),
        )

    def __str__(self) -> str:
        return f"{self.user} read {self.incident_id}"


class IdentityLook(models.Model):
    """Somebody read both identifiers again, off the things and off the chart."""

    incident = models.ForeignKey(Incident, on_delete=models.PROTECT, related_name="looks")
    side = models.CharField(max_length=12, choices=Side)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("id",)
        constraints = (
            models.UniqueConstraint(fields=("incident", "by"), name="one_look_of_a_person"),
        )

    def __str__(self) -> str:
        return f"{self.by} looked ({self.side})"
