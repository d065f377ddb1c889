"""What the office records of a denture: as it came, the surgery as it was, the delivery."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums.delivery import Liner, TemplateUse
from labcases.models.base import Versioned, between, mm
from labcases.models.case import Case
from labcases.validators import validate_tooth_list

PAPER = "labcases.SignedPaper"


class Reported(Versioned):
    """Who of the office said it and when; else ``paper``, the signed paper that says so."""

    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    done_at = models.DateTimeField(null=True)
    paper = models.ForeignKey(
        PAPER, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        abstract = True


class ArrivalCheck(Reported):
    """How the denture was found when it was unpacked; ``answers`` maps a line to yes or no."""

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="arrival")
    answers = models.JSONField(default=dict, blank=True)
    words = models.JSONField(default=dict, blank=True)

    def __str__(self) -> str:
        return f"check on arrival of {self.case}"


class Surgery(Reported):
    """The surgery as it was: the day, the teeth that came out, the template, the bone.

    Where the teeth are not those of the plan, ``why_otherwise`` says so in words.
    """

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="surgery")
    held_on = models.DateField("day of the surgery", null=True, blank=True)
    teeth_out = models.JSONField(default=list, blank=True, validators=[validate_tooth_list])
    why_otherwise = models.CharField("why other teeth", max_length=300, blank=True)
    template_use = models.CharField(max_length=12, choices=TemplateUse, blank=True)
    template_words = models.CharField("where it blanched", max_length=300, blank=True)
    bone_changed = models.BooleanField(null=True)
    bone_words = models.CharField("where bone was changed", max_length=300, blank=True)
    note = models.TextField(max_length=1000, blank=True)

    def __str__(self) -> str:
        return f"surgery of {self.case}"


class Delivery(Reported):
    """The denture in the mouth, with its checks, or that nobody reported it (``reported``).

    ``answers`` maps a line's key to yes or no. ``centric`` holds closings as a try-in does.
    ``adjusted`` are denture teeth, never natural ones. ``liner_until`` is the day by which a
    liner is looked at or changed. Where nobody reported it, ``delivered_on`` is the planned day.
    """

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="delivery")
    delivered_on = models.DateField(null=True, blank=True)
    reported = models.BooleanField(default=True)
    answers = models.JSONField(default=dict, blank=True)
    words = models.JSONField(default=dict, blank=True)
    vertical_rest_mm = mm(null=True, blank=True)
    vertical_mm = mm(null=True, blank=True)
    centric = models.JSONField(default=list, blank=True)
    adjusted = models.JSONField(default=list, blank=True, validators=[validate_tooth_list])
    adjusted_words = models.CharField("how they were adjusted", max_length=300, blank=True)
    relieved = models.CharField("relieved on the fitting surface", max_length=300, blank=True)
    liner_kind = models.CharField(max_length=24, choices=Liner, blank=True)
    liner_product = models.CharField(max_length=80, blank=True)
    liner_lot = models.CharField(max_length=80, blank=True)
    liner_placed_on = models.DateField(null=True, blank=True)
    liner_until = models.DateField("liner looked at or changed by", null=True, blank=True)
    first_check_on = models.DateField("first check booked for", null=True, blank=True)
    note = models.TextField(max_length=1000, blank=True)

    class Meta:
        constraints = (
            between("vertical_rest_mm", "20", "120"),
            between("vertical_mm", "20", "120"),
        )

    def __str__(self) -> str:
        return f"delivery of {self.case}"
