"""After delivery: lines that are struck out when wrong, and a denture that is made again."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import Movement
from labcases.enums.reviews import Decision, ReviewAct
from labcases.models.base import LogLine, between, mm
from labcases.models.case import Case
from labcases.validators import validate_tooth_list


class ReviewEntry(LogLine):
    """One line of the reviews, of one act.

    ``review``, ``liner`` and ``signs`` are keys of ``reference/reviews.toml``; ``answers`` maps a
    line of the review to yes or no, ``words`` to what is said there. ``teeth`` are those that
    marked in a pass, or the one denture tooth that was adjusted by ``depth_mm``; ``marks`` is as in
    the remount at the laboratory. ``product`` and ``lot`` are of a liner, a record, or a reline.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="review_entries")
    act = models.CharField(max_length=12, choices=ReviewAct)
    happened_on = models.DateField("day")
    review = models.CharField(max_length=24, blank=True)
    answers = models.JSONField(default=dict, blank=True)
    words = models.JSONField(default=dict, blank=True)
    place = models.CharField(max_length=120, blank=True)
    relieved = models.BooleanField(null=True)
    liner = models.CharField(max_length=24, blank=True)
    product = models.CharField(max_length=120, blank=True)
    lot = models.CharField(max_length=80, blank=True)
    expires_on = models.DateField(null=True, blank=True)
    agreement_mm = mm(null=True, blank=True)
    movement = models.CharField(max_length=16, choices=Movement, blank=True)
    teeth = models.JSONField(default=list, blank=True, validators=[validate_tooth_list])
    marks = models.JSONField(default=dict, blank=True)
    foil_um = models.PositiveSmallIntegerField(null=True, blank=True)
    as_wanted = models.BooleanField(null=True)
    depth_mm = mm(null=True, blank=True)
    signs = models.JSONField(default=list, blank=True)
    decision = models.CharField(max_length=8, choices=Decision, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta(LogLine.Meta):
        constraints = (between("agreement_mm", "0", "20"), between("depth_mm", "0", "5"))
        indexes = (models.Index(fields=("lot",), name="review_lot"),)

    def __str__(self) -> str:
        return f"{self.act} ({self.case})"


class Remake(models.Model):
    """A case that is made in place of an older one, and why. Not the link of two arches."""

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="remake_of")
    old = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="remakes")
    reason = models.CharField(max_length=16)
    words = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("id",)
        constraints = (
            models.CheckConstraint(
                condition=~models.Q(case=models.F("old")), name="remake_of_another_case"
            ),
        )

    def __str__(self) -> str:
        return f"{self.case} in place of {self.old}"
