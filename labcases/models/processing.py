"""The final wax, its approval, and the handoff to processing."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import BaseMaterial, Flange, TrimMethod
from labcases.enums.wax import Insertion, Undercut
from labcases.models.base import Versioned, between, mm
from labcases.models.case import Case


class FinalWax(Versioned):
    """What must be decided before anything is flasked.

    ``answers`` maps a line of the two checklists to yes, no or not asked, and ``words`` to what is
    said there; ``as_prescribed`` maps a measurement that differs from the record to why.
    ``approved_photographs`` names the pictures that the dentist approved by, ``approved_trims`` the
    lines of the set-up log that stood then. How the cast was trimmed stands in those;
    ``trim_method`` and ``trim_labial_mm`` were entered before that, and are only read.
    """

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="final_wax")
    trim_method = models.CharField(max_length=16, choices=TrimMethod, blank=True)
    trim_labial_mm = mm(null=True, blank=True)
    duplicate_made = models.BooleanField(default=False)
    bone_change_planned = models.BooleanField(null=True)
    flange_kind = models.CharField(max_length=16, choices=Flange, blank=True)
    flange_right_mm = mm(null=True, blank=True)
    flange_front_mm = mm(null=True, blank=True)
    flange_left_mm = mm(null=True, blank=True)
    flange_decision = models.CharField(max_length=120, blank=True)
    undercut_kind = models.CharField(max_length=12, choices=Undercut, blank=True)
    undercut_decision = models.CharField(max_length=120, blank=True)
    insertion = models.CharField(max_length=16, choices=Insertion, blank=True)
    template_wanted = models.BooleanField(null=True)
    template_decision = models.CharField(max_length=120, blank=True)
    overjet_mm = mm(null=True, blank=True)
    overbite_mm = mm(null=True, blank=True)
    incisal_display_mm = mm(null=True, blank=True)
    midline_offset_mm = mm(null=True, blank=True)
    central_length_mm = mm(null=True, blank=True)
    as_prescribed = models.JSONField(default=dict, blank=True)
    answers = models.JSONField(default=dict, blank=True)
    words = models.JSONField(default=dict, blank=True)
    note = models.TextField(max_length=1000, blank=True)
    approved_at = models.DateTimeField(null=True, blank=True)
    approved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    approved_digest = models.CharField(max_length=64, blank=True)
    paper = models.ForeignKey(
        "labcases.SignedPaper",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    """The signed paper that says so, where nobody of the office said it by log-in."""
    trimming_approved = models.BooleanField(default=False)
    approved_photographs = models.JSONField(default=list, blank=True)
    approved_trims = models.JSONField(default=list, blank=True)

    class Meta:
        constraints = (
            between("trim_labial_mm", "0", "10"),
            between("overjet_mm", "-10", "15"),
            between("overbite_mm", "-10", "12"),
            between("incisal_display_mm", "-10", "20"),
            between("midline_offset_mm", "-10", "10"),
            between("central_length_mm", "5", "20"),
            between("flange_right_mm", "0", "10"),
            between("flange_front_mm", "0", "10"),
            between("flange_left_mm", "0", "10"),
        )

    def __str__(self) -> str:
        return f"final wax of {self.case}"

    @property
    def approved(self) -> str:
        """Who approved, or the paper that says it."""
        return self.paper.words if self.paper else f"by {self.approved_by}"


class Handoff(models.Model):
    """What processing starts from, frozen: inputs, findings and engine version."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="handoffs")
    number = models.PositiveSmallIntegerField(default=1)
    revision = models.PositiveIntegerField()
    base_material = models.CharField(max_length=24, choices=BaseMaterial)
    base_product = models.CharField(max_length=120)
    base_lot = models.CharField(max_length=80, blank=True)
    index_made = models.BooleanField(default=False)
    note = models.TextField(max_length=1000, blank=True)
    frozen = models.JSONField()
    engine_version = models.CharField(max_length=20)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("number",)
        constraints = (
            models.UniqueConstraint(fields=("case", "number"), name="one_row_per_handoff"),
        )

    def __str__(self) -> str:
        return f"handoff {self.number} of {self.case}"
