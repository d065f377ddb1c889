"""The remount after processing: lines that are struck out when wrong, and its checklist."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import Movement
from labcases.enums.remount import RemountAct
from labcases.models.base import LogLine, Versioned, between, mm
from labcases.models.case import Case
from labcases.validators import validate_tooth_list


class RemountEntry(LogLine):
    """One line of the remount, of one act.

    ``rise_mm`` is how far the pin stands off the agreed value, above it positive. ``teeth`` are
    those that marked in a pass, or the one that was corrected by ``depth_mm``; ``marks`` holds of
    a tooth that marked its strength and cusps (``enums.marks``), where they were looked at.
    ``cause`` is a key of ``reference/remount.toml``. ``hours_after`` counts from the remount.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="remount_entries")
    act = models.CharField(max_length=12, choices=RemountAct)
    rise_mm = mm(null=True, blank=True)
    cause = models.CharField(max_length=24, blank=True)
    movement = models.CharField(max_length=16, choices=Movement, blank=True)
    teeth = models.JSONField(default=list, blank=True, validators=[validate_tooth_list])
    marks = models.JSONField(default=dict, blank=True)
    foil_um = models.PositiveSmallIntegerField(null=True, blank=True)
    as_wanted = models.BooleanField(null=True)
    depth_mm = mm(null=True, blank=True)
    hours_after = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta(LogLine.Meta):
        constraints = (between("rise_mm", "-2", "10"), between("depth_mm", "0", "5"))

    def __str__(self) -> str:
        return f"{self.act} ({self.case})"


class RemountCheck(Versioned):
    """The checklist of the remount; ``answers`` maps a line's key to yes or no."""

    case = models.OneToOneField(Case, on_delete=models.PROTECT, related_name="remount_check")
    answers = models.JSONField(default=dict, blank=True)
    words = models.JSONField(default=dict, blank=True)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    done_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"remount check of {self.case}"
