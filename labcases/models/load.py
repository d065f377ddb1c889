"""What is planned at the bench: people's minutes, and who does which job of a case when."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums.load import BenchJob
from labcases.models.base import Versioned
from labcases.models.case import Case
from labcases.models.people import Organisation

LONGEST_JOB_MINUTES = 600
"""Of one job; more is more than a day's work."""


class BenchMinutes(models.Model):
    """Minutes that a person of a laboratory has for the bench, by ISO weekday as a text key.

    A weekday without a key has none; without any the person's minutes are not entered.
    """

    organisation = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="bench_minutes"
    )
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="bench_minutes"
    )
    by_weekday = models.JSONField(default=dict, blank=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=("organisation", "user"), name="one_row_of_bench_minutes_a_person"
            ),
        )

    def __str__(self) -> str:
        return f"{self.user} at {self.organisation}"


class BenchTask(Versioned):
    """Who does a job of a case, on which day, and its own minutes, as far as anybody said."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="bench_tasks")
    job = models.CharField(max_length=20, choices=BenchJob)
    technician = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    planned_on = models.DateField("planned day", null=True, blank=True)
    minutes = models.PositiveSmallIntegerField("minutes at the bench", null=True, blank=True)

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.UniqueConstraint(fields=("case", "job"), name="one_bench_task_a_job"),
            models.CheckConstraint(
                name="benchtask_minutes_range",
                condition=models.Q(minutes__isnull=True)
                | models.Q(minutes__gte=1, minutes__lte=LONGEST_JOB_MINUTES),
            ),
        )

    def __str__(self) -> str:
        return f"{self.case}, {self.job}"
