"""Casts on the articulator, and the settings of the articulator."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db import models

from labcases.enums import (
    FrontGuide,
    JawRecord,
    ReferencePlane,
    ReturnTo,
    SettingsOrigin,
    TableMember,
    TransferMethod,
    Verification,
)
from labcases.models.base import Versioned, between, deg, mm
from labcases.models.case import Case
from labcases.models.casts import Cast
from labcases.models.jaw_records import TakenRecord


class MountingFacts(models.Model):
    """How casts were mounted, and how that was verified against a second look."""

    casts_inspected = models.BooleanField(default=False)
    cast_note = models.CharField(max_length=200, blank=True)
    upper_cast = models.ForeignKey(
        Cast, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    lower_cast = models.ForeignKey(
        Cast, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    transfer = models.CharField(max_length=24, choices=TransferMethod, blank=True)
    reference_plane = models.CharField(max_length=20, choices=ReferencePlane, blank=True)
    jaw_record = models.CharField(max_length=24, choices=JawRecord, blank=True)
    record = models.ForeignKey(
        TakenRecord, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    record_medium = models.CharField(max_length=80, blank=True)
    pin_zero_mm = mm(null=True, blank=True)
    verified_by_method = models.CharField(max_length=16, choices=Verification, blank=True)
    foil_pairs = models.CharField(
        max_length=120, blank=True, help_text="Pairs that hold foil, for example 16/46, 26/36."
    )
    foil_points = models.PositiveSmallIntegerField(null=True, blank=True)
    agreement_mm = mm(null=True, blank=True)
    split_cast_closes = models.BooleanField(default=False)

    class Meta:
        abstract = True


MOUNTING_FACTS = tuple(field.name for field in MountingFacts._meta.local_fields)


class Mounting(Versioned, MountingFacts):
    """The mounting that counts. The ones before it are kept as ``PastMounting``."""

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="mounting")
    number = models.PositiveSmallIntegerField(default=1)

    class Meta:
        constraints = (
            between("pin_zero_mm", "-10", "30"),
            between("agreement_mm", "0", "5"),
        )

    def __str__(self) -> str:
        return f"mounting of {self.case}"


class PastMounting(MountingFacts):
    """A mounting as it was when another one took its place, and why. Nothing changes it."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="past_mountings")
    number = models.PositiveSmallIntegerField()
    verdict = models.CharField(max_length=20)
    said = models.CharField(max_length=400, blank=True)
    """The verdict in words, with the limit that it was held to on that day."""
    asked = models.CharField(max_length=16, choices=ReturnTo, blank=True)
    reason = models.CharField(max_length=240)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    ended_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return f"mounting {self.number} of {self.case}, taken back"


DEVIATIONS = {
    "condylar_right_deg": "condylar_right_sd_deg",
    "condylar_left_deg": "condylar_left_sd_deg",
    "bennett_right_deg": "bennett_right_sd_deg",
    "bennett_left_deg": "bennett_left_sd_deg",
}
"""Settings that check records give -> the column of their standard deviation."""


class ArticulatorRecord(Versioned):
    """Every setting of the articulator, read against one named plane.

    Condylar inclination, Bennett angle and side shift are named by condyle, the
    wings of the incisal table by the excursion in which they guide.
    """

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="articulator")
    origin = models.CharField(
        max_length=16, choices=SettingsOrigin, default=SettingsOrigin.PRESCRIBED
    )
    intercondylar_mm = mm(default=Decimal("110"))
    condylar_right_deg = deg()
    condylar_left_deg = deg()
    bennett_right_deg = deg()
    bennett_left_deg = deg()
    # How sure check records are of these four; empty where the value came another way.
    condylar_right_sd_deg = deg("condylar right deviation deg", null=True, blank=True)
    condylar_left_sd_deg = deg("condylar left deviation deg", null=True, blank=True)
    bennett_right_sd_deg = deg("bennett right deviation deg", null=True, blank=True)
    bennett_left_sd_deg = deg("bennett left deviation deg", null=True, blank=True)
    side_shift_right_mm = mm(default=Decimal("0"))
    side_shift_left_mm = mm(default=Decimal("0"))
    incisal_table_deg = deg()
    wing_right_deg = deg()
    wing_left_deg = deg()
    table_on = models.CharField(max_length=8, choices=TableMember, default=TableMember.LOWER)
    front_guide = models.CharField(max_length=16, choices=FrontGuide, default=FrontGuide.TABLE)
    overjet_mm = mm(default=Decimal("2"))
    overbite_mm = mm(default=Decimal("2"))
    reference_plane = models.CharField(
        max_length=20, choices=ReferencePlane, default=ReferencePlane.AXIS
    )
    plane_tilt_deg = deg(default=Decimal("0"))
    incisal_x_mm = mm(default=Decimal("80"))
    incisal_z_mm = mm(default=Decimal("-32"))
    pin_x_mm = mm(null=True, blank=True)
    pin_z_mm = mm(null=True, blank=True)
    pin_opening_mm = mm(default=Decimal("0"))
    pin_agreed_mm = mm(default=Decimal("0"))
    acknowledged = models.CharField(max_length=64, blank=True)
    acknowledged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = (
            between("intercondylar_mm", "80", "140"),
            between("condylar_right_deg", "0", "75"),
            between("condylar_left_deg", "0", "75"),
            between("bennett_right_deg", "0", "40"),
            between("bennett_left_deg", "0", "40"),
            between("condylar_right_sd_deg", "0", "90"),
            between("condylar_left_sd_deg", "0", "90"),
            between("bennett_right_sd_deg", "0", "90"),
            between("bennett_left_sd_deg", "0", "90"),
            between("side_shift_right_mm", "0", "4"),
            between("side_shift_left_mm", "0", "4"),
            between("incisal_table_deg", "0", "60"),
            between("wing_right_deg", "0", "45"),
            between("wing_left_deg", "0", "45"),
            between("overjet_mm", "-10", "15"),
            between("overbite_mm", "-10", "12"),
            between("plane_tilt_deg", "-30", "30"),
            between("incisal_x_mm", "40", "150"),
            between("incisal_z_mm", "-100", "20"),
            between("pin_x_mm", "40", "200"),
            between("pin_z_mm", "-120", "20"),
            between("pin_opening_mm", "-2", "10"),
            between("pin_agreed_mm", "-2", "10"),
        )

    def __str__(self) -> str:
        return f"articulator record of {self.case}"
