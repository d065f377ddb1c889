"""A posterior try-in: checked on the bench, out, judged by the dentist, back."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import Stage, TryInOutcome
from labcases.enums.tryin import LipContact, PatientSaw, PatientWord
from labcases.models.base import Versioned, between, mm
from labcases.models.case import Case


class TryIn(Versioned):
    """``answers`` maps a checklist line's key to ok, change or redo, and ``words`` to what is said.

    ``vertical_mm`` is read with the teeth together. ``centric`` holds up to three closings, each a
    pair of where the jaw closed (``enums.tryin.Closing``) and how far off, as text of a number.
    The numbers of the front teeth are read on the patient's own teeth.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="try_ins")
    number = models.PositiveSmallIntegerField(default=1)
    revision = models.PositiveIntegerField()
    opened_at = models.DateTimeField(auto_now_add=True)
    answers = models.JSONField(default=dict, blank=True)
    words = models.JSONField(default=dict, blank=True)
    vertical_rest_mm = mm(null=True, blank=True)
    vertical_mm = mm(null=True, blank=True)
    centric = models.JSONField(default=list, blank=True)
    speaking_mm = mm(null=True, blank=True)
    display_rest_mm = mm(null=True, blank=True)
    display_smile_mm = mm(null=True, blank=True)
    midline_mm = mm(null=True, blank=True)
    length_change_mm = mm(null=True, blank=True)
    lip_contact = models.CharField(max_length=12, choices=LipContact, blank=True)
    patient_saw = models.CharField(max_length=12, choices=PatientSaw, blank=True)
    patient_word = models.CharField(max_length=12, choices=PatientWord, blank=True)
    patient_list = models.CharField(max_length=300, blank=True)
    patient_asked_by = models.CharField(max_length=80, blank=True)
    """Who of the office asked; never the patient."""
    outcome = models.CharField(max_length=24, choices=TryInOutcome, blank=True)
    changes = models.TextField(max_length=1000, blank=True)
    sent_back_to = models.CharField(max_length=24, choices=Stage, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)
    paper = models.ForeignKey(
        "labcases.SignedPaper",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    """The signed paper that says so, where nobody of the office said it by log-in."""
    taken_back = models.CharField(max_length=200, blank=True)
    """Why the verdict counts no longer: what it judged is gone."""

    class Meta:
        ordering = ("number",)
        constraints = (
            models.UniqueConstraint(fields=("case", "number"), name="one_row_per_try_in"),
            between("vertical_rest_mm", "20", "120"),
            between("vertical_mm", "20", "120"),
            between("speaking_mm", "0", "15"),
            between("display_rest_mm", "-10", "20"),
            between("display_smile_mm", "-10", "25"),
            between("midline_mm", "-10", "10"),
            between("length_change_mm", "-5", "5"),
        )

    def __str__(self) -> str:
        return f"try-in {self.number} of {self.case}"

    @property
    def decided(self) -> str:
        """Who decided, or the paper that says it."""
        return self.paper.words if self.paper else str(self.decided_by)


class BenchCheck(Versioned):
    """What the laboratory checks before the base leaves. One is open at a time.

    ``answers`` maps a line's key to yes or no, ``words`` to what is said. When the case goes out
    it is bound to its ``try_in``, and the next one starts empty.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="bench_checks")
    answers = models.JSONField(default=dict, blank=True)
    words = models.JSONField(default=dict, blank=True)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    done_at = models.DateTimeField(null=True)
    try_in = models.OneToOneField(
        TryIn, null=True, blank=True, on_delete=models.PROTECT, related_name="bench_check"
    )

    class Meta:
        ordering = ("id",)
        constraints = (
            models.UniqueConstraint(
                fields=("case",),
                condition=models.Q(try_in__isnull=True),
                name="one_open_bench_check",
            ),
        )

    def __str__(self) -> str:
        return f"bench check of {self.case}"
