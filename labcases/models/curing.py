"""How a base was processed: technique and cycle, steps with their times, materials with lots."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models

from labcases.enums.curing import MaterialUse, Technique
from labcases.models.base import LogLine, Versioned
from labcases.models.case import Case
from labcases.models.history import AppendOnly
from labcases.models.people import Organisation
from labcases.models.processing import Handoff

CYCLE_KEY = 40
LONGEST_MINUTES = 4320
"""Three days: longer than any part of a cycle is likely to be (common practice, no source)."""


def _minutes(field: str) -> models.CheckConstraint:
    return models.CheckConstraint(
        name=f"curingcycle_{field}_range", condition=models.Q(**{f"{field}__lte": LONGEST_MINUTES})
    )


class CuringCycleQuerySet(models.QuerySet["CuringCycle"]):
    def update(self, **_changes: Any) -> int:
        raise AppendOnly("An edition of a cycle stays as it is. Write the next one.")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise AppendOnly("An edition of a cycle is never erased. Take the cycle out of use.")


class CuringCycle(models.Model):
    """One edition of a laboratory's own cycle for a material, by the material's instructions.

    ``phases`` is a list of [minutes, temperature in C or nothing]. An edition never changes, so
    that the records that name it say the same for ever; the last edition is the one in use,
    unless it takes the cycle out of use.
    """

    laboratory = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="curing_cycles"
    )
    material = models.CharField(max_length=120)
    name = models.CharField(max_length=80)
    edition = models.PositiveIntegerField(default=1)
    technique = models.CharField(max_length=16, choices=Technique)
    phases = models.JSONField()
    dwell_minutes = models.PositiveIntegerField(default=0)
    bench_minutes = models.PositiveIntegerField(default=0)
    water_minutes = models.PositiveIntegerField(default=0)
    boiling_start = models.BooleanField(default=False)
    instructions = models.CharField(max_length=240)
    in_use = models.BooleanField(default=True)
    why = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    objects = CuringCycleQuerySet.as_manager()

    class Meta:
        ordering = ("material", "name", "edition")
        constraints = (
            models.UniqueConstraint(
                fields=("laboratory", "material", "name", "edition"),
                name="one_row_per_edition_of_a_cycle",
            ),
            _minutes("dwell_minutes"),
            _minutes("bench_minutes"),
            _minutes("water_minutes"),
        )

    def __str__(self) -> str:
        return f"{self.material}, {self.name}, edition {self.edition}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk is not None:
            raise AppendOnly("An edition of a cycle stays as it is. Write the next one.")
        super().save(*args, **kwargs)

    def delete(self, *_args: Any, **_kwargs: Any) -> tuple[int, dict[str, int]]:
        raise AppendOnly("An edition of a cycle is never erased. Take the cycle out of use.")


class ProcessingRun(Versioned):
    """One processing of a base that was handed over.

    ``cycle`` is a key of ``labcases/reference/curing.toml``, or "own-" with the key of an edition
    of the laboratory's. ``details`` maps what the technique asks to what was answered.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="processing_runs")
    handoff = models.ForeignKey(Handoff, on_delete=models.PROTECT, related_name="runs")
    number = models.PositiveSmallIntegerField()
    technique = models.CharField(max_length=16, choices=Technique)
    flask = models.CharField(max_length=40, blank=True)
    place = models.CharField(max_length=40, blank=True)
    cycle = models.CharField(max_length=CYCLE_KEY, blank=True)
    details = models.JSONField(default=dict, blank=True)
    note = models.TextField(max_length=1000, blank=True)
    given_up_at = models.DateTimeField(null=True, blank=True)
    given_up_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    given_up_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("id",)
        constraints = (
            models.UniqueConstraint(fields=("handoff", "number"), name="one_row_per_processing"),
        )

    def __str__(self) -> str:
        return f"processing {self.number} of {self.case}"


class ProcessingStep(LogLine):
    """One step that was done, and when. ``words`` say why it was done early, where it was."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="processing_steps")
    run = models.ForeignKey(ProcessingRun, on_delete=models.PROTECT, related_name="steps")
    step = models.CharField(max_length=16)
    happened_at = models.DateTimeField()
    done_by = models.CharField(max_length=80, blank=True)
    words = models.CharField(max_length=200, blank=True)
    note = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"{self.step}, {self.happened_at:%Y-%m-%d %H:%M}"


class UsedMaterial(LogLine):
    """A material that went into a base, with its lot and the instructions it was used by."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="used_materials")
    run = models.ForeignKey(ProcessingRun, on_delete=models.PROTECT, related_name="materials")
    use = models.CharField(max_length=20, choices=MaterialUse)
    product = models.CharField(max_length=120)
    lot = models.CharField(max_length=80)
    expires_on = models.DateField(null=True, blank=True)
    instructions = models.CharField(max_length=240, blank=True)
    note = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"{self.use}: {self.product}, lot {self.lot}"
