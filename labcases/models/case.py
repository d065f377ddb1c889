"""The case: one device for one patient and one surgery day."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils import timezone

from labcases.enums import (
    ENDS,
    AppointmentKind,
    AppointmentStatus,
    PrescriptionStatus,
    Stage,
)
from labcases.models.base import Versioned
from labcases.models.people import Organisation
from labcases.validators import validate_case_code, validate_patient_code


class Patient(models.Model):
    """A code that the office chose. The name, if any, stands in ``PatientName``."""

    office = models.ForeignKey(Organisation, on_delete=models.PROTECT, related_name="patients")
    code = models.CharField(max_length=30, validators=[validate_patient_code])

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("office", "code"), name="one_patient_per_code"),
        )

    def __str__(self) -> str:
        return self.code


class PatientName(models.Model):
    """Held apart, for the office only; never on a laboratory screen or paper."""

    patient = models.OneToOneField(Patient, on_delete=models.CASCADE, related_name="name_row")
    name = models.CharField(max_length=120)

    def __str__(self) -> str:
        return "name held by the office"


class LaboratoryStays(Exception):
    """A case was about to change its laboratory, where its history is chained."""

    def __init__(self) -> None:
        super().__init__(
            "A case stays with its laboratory: its history is chained there. Open a new case at "
            "the other laboratory, and say why in its instructions."
        )


class CaseQuerySet(models.QuerySet["Case"]):
    def update(self, **changes: Any) -> int:
        if {"laboratory", "laboratory_id"} & set(changes):
            raise LaboratoryStays
        return super().update(**changes)


class Case(Versioned):
    code = models.CharField(max_length=12, unique=True, validators=[validate_case_code])
    office = models.ForeignKey(Organisation, on_delete=models.PROTECT, related_name="office_cases")
    laboratory = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="laboratory_cases"
    )
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="cases")
    stage = models.CharField(max_length=24, choices=Stage, default=Stage.DRAFT)
    stage_since = models.DateTimeField(default=timezone.now)
    surgery_on = models.DateField(null=True, blank=True)
    surgery_confirmed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    surgery_confirmed_at = models.DateTimeField(null=True, blank=True)
    surgery_paper = models.ForeignKey(
        "labcases.SignedPaper",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    """The signed paper that says so, where nobody of the office said it by log-in."""
    on_hold = models.BooleanField(default=False)
    hold_reason = models.CharField(max_length=200, blank=True)
    silent = models.BooleanField(default=False)
    """The patient has died: nothing leaves by itself any more (``domain/notices.py``)."""
    restricted = models.BooleanField(default=False)
    """Erasure was asked for: kept for the law alone, and closed to work (``domain/erasing.py``)."""
    erased = models.BooleanField(default=False)
    """The time of keeping is over: code, dates and the reason are all that is left."""
    tray_number = models.CharField(max_length=20, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    objects = CaseQuerySet.as_manager()

    def get_stage_display(self) -> str:  # type: ignore[no-redef]  # Django leaves ours alone
        """The stage in its laboratory's own word, where it has one."""
        return str(self.laboratory.stage_names.get(self.stage) or Stage(self.stage).label)

    _stored_laboratory: int | None = None

    class Meta:
        ordering = ("surgery_on", "id")
        indexes = (
            models.Index(fields=("laboratory", "stage", "surgery_on", "id")),
            models.Index(fields=("office", "stage", "surgery_on", "id")),
        )

    def __str__(self) -> str:
        return self.code

    @classmethod
    def from_db(cls, *args: Any, **kwargs: Any) -> Case:
        row = super().from_db(*args, **kwargs)
        row._stored_laboratory = row.__dict__.get("laboratory_id")
        return row

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self._stored_laboratory not in (None, self.laboratory_id):
            raise LaboratoryStays
        super().save(*args, **kwargs)
        self._stored_laboratory = self.laboratory_id

    @property
    def surgery_confirmed(self) -> str:
        """Who confirmed the day, or the paper that says it."""
        if self.surgery_paper:
            return self.surgery_paper.words
        return f"by {self.surgery_confirmed_by}"

    @property
    def is_open(self) -> bool:
        return self.stage not in ENDS

    @property
    def prescription(self) -> Prescription:
        """The revision in force: the last signed one, or the first draft."""
        rows = sorted(self.prescriptions.all(), key=lambda row: row.revision)
        signed = [row for row in rows if row.status == PrescriptionStatus.SIGNED]
        return signed[-1] if signed else rows[-1]

    @property
    def draft_revision(self) -> Prescription | None:
        """A later revision that is being written, if there is one."""
        drafts = [r for r in self.prescriptions.all() if r.status == PrescriptionStatus.DRAFT]
        return drafts[-1] if drafts else None


class Appointment(Versioned):
    """A date at the office or between the two houses, outside the signed part."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="appointments")
    kind = models.CharField(max_length=30, choices=AppointmentKind)
    on = models.DateField()
    status = models.CharField(
        max_length=12, choices=AppointmentStatus, default=AppointmentStatus.BOOKED
    )
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("on", "id")

    def __str__(self) -> str:
        return f"{self.kind} {self.on:%Y-%m-%d}"


from labcases.models.prescription import Prescription  # noqa: E402  (points back to Case)
