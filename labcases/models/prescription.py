"""What the dentist orders, revision by revision."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models

from labcases.enums import (
    Allergy,
    Arch,
    BaseMaterial,
    Flange,
    JawRecord,
    PrescriptionStatus,
    Route,
    Scheme,
    SetUpOrder,
    ToothMaterial,
    TryInWish,
)
from labcases.enums.opponent import HeightReading, Opponent
from labcases.enums.prescribing import (
    Identification,
    LowerBorder,
    MouldForm,
    NaturalChanges,
    PostDam,
    RelinePlan,
    SettingsWish,
    ShadeLight,
    VerticalWish,
)
from labcases.models.base import Versioned, between, mm
from labcases.validators import (
    validate_opposing_teeth,
    validate_over_eruption,
    validate_photographs,
    validate_probing,
    validate_teeth,
)

if TYPE_CHECKING:
    from labcases.models.case import Case  # noqa: F401


class Prescription(Versioned):
    """One revision. Once signed it never changes; a change is the next revision.

    ``teeth`` maps every position of the prescribed arch to a ``ToothStatus`` and
    ``opposing`` every position of the other arch to an ``OpposingTooth``; both are
    keyed by ISO 3950 number. ``opponent`` is what the other arch is as a whole, and
    ``over_eruption_mm`` how far natural teeth of it stand beyond the occlusal plane, as text
    of a number; ``over_eruption_by`` says how that was read. ``probing_mm`` holds the deepest
    labial pocket of teeth that come out, as text of a number, and ``photographs`` the views
    that are wanted.
    """

    case = models.ForeignKey(
        "labcases.Case", on_delete=models.PROTECT, related_name="prescriptions"
    )
    revision = models.PositiveIntegerField(default=1)
    status = models.CharField(
        max_length=12, choices=PrescriptionStatus, default=PrescriptionStatus.DRAFT
    )
    route = models.CharField(max_length=20, choices=Route, default=Route.CONVENTIONAL)
    set_up_order = models.CharField(
        max_length=20, choices=SetUpOrder, default=SetUpOrder.POSTERIOR_FIRST
    )
    arch = models.CharField(max_length=8, choices=Arch, default=Arch.UPPER)
    teeth = models.JSONField(default=dict, blank=True, validators=[validate_teeth])
    opposing = models.JSONField(default=dict, blank=True, validators=[validate_opposing_teeth])
    opponent = models.CharField(max_length=28, choices=Opponent, blank=True)
    over_eruption_mm = models.JSONField(
        default=dict, blank=True, validators=[validate_over_eruption]
    )
    over_eruption_by = models.CharField(max_length=28, choices=HeightReading, blank=True)
    first_extraction_on = models.DateField(null=True, blank=True)
    healing_reason = models.CharField("why so little healing", max_length=300, blank=True)
    base_material = models.CharField(max_length=24, choices=BaseMaterial, blank=True)
    tooth_material = models.CharField(max_length=12, choices=ToothMaterial, blank=True)
    shade_system = models.CharField(max_length=60, blank=True)
    shade = models.CharField(max_length=30, blank=True)
    shade_light = models.CharField(max_length=16, choices=ShadeLight, blank=True)
    mould = models.CharField(max_length=120, blank=True)
    mould_form = models.CharField(max_length=12, choices=MouldForm, blank=True)
    central_width_mm = mm(null=True, blank=True)
    central_length_mm = mm(null=True, blank=True)
    scheme = models.CharField(max_length=12, choices=Scheme, blank=True)
    jaw_record = models.CharField(max_length=24, choices=JawRecord, blank=True)
    vertical_wish = models.CharField(max_length=16, choices=VerticalWish, blank=True)
    flange = models.CharField(max_length=16, choices=Flange, blank=True)
    post_dam = models.CharField(max_length=24, choices=PostDam, blank=True)
    lower_border = models.CharField(max_length=20, choices=LowerBorder, blank=True)
    allergy = models.CharField(max_length=12, choices=Allergy, default=Allergy.NOT_ASKED)
    allergy_text = models.CharField(max_length=200, blank=True)
    try_in = models.CharField(max_length=16, choices=TryInWish, blank=True)
    overjet_mm = mm(null=True, blank=True)
    overbite_mm = mm(null=True, blank=True)
    incisal_display_mm = mm(null=True, blank=True)
    smile_display_mm = mm(null=True, blank=True)
    midline_offset_mm = mm(null=True, blank=True)
    vertical_rest_mm = mm(null=True, blank=True)
    vertical_occlusion_mm = mm(null=True, blank=True)
    vertical_read_at = models.CharField(max_length=120, blank=True)
    interalar_mm = mm(null=True, blank=True)
    canine_lines_mm = mm(null=True, blank=True)
    probing_mm = models.JSONField(default=dict, blank=True, validators=[validate_probing])
    photographs = models.JSONField(default=list, blank=True, validators=[validate_photographs])
    natural_changes = models.CharField(max_length=12, choices=NaturalChanges, blank=True)
    natural_changes_text = models.CharField(max_length=300, blank=True)
    identification = models.CharField(max_length=16, choices=Identification, blank=True)
    template_wanted = models.BooleanField(null=True, blank=True)
    settings_wish = models.CharField(max_length=20, choices=SettingsWish, blank=True)
    settings_text = models.CharField(max_length=300, blank=True)
    return_casts = models.BooleanField(null=True, blank=True)
    reline_plan = models.CharField(max_length=16, choices=RelinePlan, blank=True)
    characterisation = models.CharField(max_length=300, blank=True)
    instructions = models.TextField(max_length=2000, blank=True)
    signed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    signed_name = models.CharField(max_length=120, blank=True)
    licence_number = models.CharField(max_length=60, blank=True)
    signed_at = models.DateTimeField(null=True, blank=True)
    digest = models.CharField(max_length=64, blank=True)

    class Meta:
        ordering = ("revision",)
        constraints = (
            models.UniqueConstraint(fields=("case", "revision"), name="one_row_per_revision"),
            models.UniqueConstraint(
                fields=("case",),
                condition=models.Q(status="draft"),
                name="one_draft_revision_per_case",
            ),
            between("overjet_mm", "-10", "15"),
            between("overbite_mm", "-10", "12"),
            between("incisal_display_mm", "-10", "20"),
            between("midline_offset_mm", "-10", "10"),
            between("smile_display_mm", "-10", "25"),
            between("vertical_rest_mm", "20", "120"),
            between("vertical_occlusion_mm", "20", "120"),
            between("interalar_mm", "20", "60"),
            between("canine_lines_mm", "20", "70"),
            between("central_width_mm", "3", "15"),
            between("central_length_mm", "5", "20"),
        )

    def __str__(self) -> str:
        return f"{self.case} R{self.revision:02d}"


class PrescribingDefaults(models.Model):
    """What one person prescribes as a rule; it fills what a draft leaves open, when asked to."""

    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="prescribing_defaults"
    )
    base_material = models.CharField(max_length=24, choices=BaseMaterial, blank=True)
    tooth_material = models.CharField(max_length=12, choices=ToothMaterial, blank=True)
    shade_system = models.CharField(max_length=60, blank=True)
    scheme = models.CharField(max_length=12, choices=Scheme, blank=True)
    flange = models.CharField(max_length=16, choices=Flange, blank=True)
    try_in = models.CharField(max_length=16, choices=TryInWish, blank=True)
    changed_at = models.DateTimeField(auto_now=True)

    def __str__(self) -> str:
        return f"defaults of {self.user}"
