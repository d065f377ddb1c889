"""Denture teeth chosen for a case, and what callipers read at each site."""

from __future__ import annotations

from decimal import Decimal

from django.db import models

from labcases.enums import SpaceFrom, ToothMaterial
from labcases.models.base import Versioned, between, deg, mm
from labcases.models.case import Case
from labcases.validators import validate_tooth


class ToothSelection(Versioned):
    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="selection")
    anterior_mould = models.CharField(max_length=80, blank=True)
    posterior_mould = models.CharField(max_length=80, blank=True)
    shade = models.CharField(max_length=30, blank=True)
    material = models.CharField(max_length=12, choices=ToothMaterial, blank=True)
    cusp_angle_deg = deg(default=Decimal("20"))
    # Widths of what was chosen, together.
    front_six_mm = mm(null=True, blank=True)
    posterior_four_mm = mm(null=True, blank=True)
    # What the sheet of the posterior teeth says, for every site that has no number of its own.
    tooth_height_mm = mm(null=True, blank=True)
    shell_over_fossa_mm = mm(null=True, blank=True)
    shell_min_mm = mm(null=True, blank=True)
    # What was measured to choose by; every one of it optional.
    natural_central_mm = mm(null=True, blank=True)
    natural_six_mm = mm(null=True, blank=True)
    opposing_six_mm = mm(null=True, blank=True)
    inner_canthal_mm = mm(null=True, blank=True)
    bizygomatic_mm = mm(null=True, blank=True)
    interalar_mm = mm(null=True, blank=True)
    hamular_notch_mm = mm(null=True, blank=True)
    room_right_mm = mm(null=True, blank=True)
    room_left_mm = mm(null=True, blank=True)

    class Meta:
        constraints = (
            between("cusp_angle_deg", "0", "60"),
            between("front_six_mm", "15", "150"),
            between("posterior_four_mm", "20", "48"),
            between("tooth_height_mm", "0", "20"),
            between("shell_over_fossa_mm", "0", "10"),
            between("shell_min_mm", "0", "10"),
            between("natural_central_mm", "3", "15"),
            between("natural_six_mm", "18", "90"),
            between("opposing_six_mm", "15", "150"),
            between("inner_canthal_mm", "15", "55"),
            between("bizygomatic_mm", "80", "200"),
            between("interalar_mm", "20", "60"),
            between("hamular_notch_mm", "25", "70"),
            between("room_right_mm", "0", "70"),
            between("room_left_mm", "0", "70"),
        )

    def __str__(self) -> str:
        return f"tooth selection of {self.case}"


class SiteMeasure(Versioned):
    """One tooth position as read by callipers, on the ridge of the denture or opposite.

    Height is read at the sites of the denture. Form and place of a tooth may be read in
    both arches; what is not read stands in the textbook or in the tooth selection, and the
    check says so.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="sites")
    tooth = models.CharField(max_length=2, validators=[validate_tooth])
    ample = models.BooleanField(default=False)
    space_mm = mm(null=True, blank=True)
    space_from = models.CharField(max_length=20, choices=SpaceFrom, default=SpaceFrom.HEALED_RIDGE)
    base_min_mm = mm(null=True, blank=True)
    relief_mm = mm(default=Decimal("0"))
    tooth_height_mm = mm(null=True, blank=True)
    shell_over_fossa_mm = mm(null=True, blank=True)
    shell_min_mm = mm(null=True, blank=True)
    cusp_angle_deg = deg(null=True, blank=True)
    tip_separation_mm = mm(null=True, blank=True)
    mesiodistal_mm = mm(null=True, blank=True)
    buccolingual_mm = mm(null=True, blank=True)
    tip_height_mm = mm(null=True, blank=True)
    tilt_deg = deg(null=True, blank=True)
    behind_incisal_mm = mm(null=True, blank=True)
    from_midline_mm = mm(null=True, blank=True)

    class Meta:
        ordering = ("tooth",)
        constraints = (
            models.UniqueConstraint(fields=("case", "tooth"), name="one_measure_per_site"),
            between("space_mm", "0", "40"),
            between("base_min_mm", "0", "10"),
            between("relief_mm", "0", "5"),
            between("tooth_height_mm", "0", "20"),
            between("shell_over_fossa_mm", "0", "10"),
            between("shell_min_mm", "0", "10"),
            between("cusp_angle_deg", "0", "60"),
            between("tip_separation_mm", "1", "12"),
            between("mesiodistal_mm", "3", "15"),
            between("buccolingual_mm", "3", "15"),
            between("tip_height_mm", "-8", "8"),
            between("tilt_deg", "-30", "30"),
            between("behind_incisal_mm", "0", "80"),
            between("from_midline_mm", "0", "50"),
        )

    def __str__(self) -> str:
        return f"site {self.tooth} of {self.case}"
