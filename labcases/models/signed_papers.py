"""Papers that a dentist signed by hand, and offices that send nothing else."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums.signed_papers import PaperSays, PaperState
from labcases.models.base import Versioned
from labcases.models.case import Case
from labcases.models.files import Attachment
from labcases.models.people import Organisation
from labcases.models.prescription import Prescription
from labcases.templatetags.units import long_date


class PaperDentist(models.Model):
    """A dentist of an office in which nobody logs in, as its papers name them."""

    office = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="paper_dentists"
    )
    name = models.CharField(max_length=120)
    licence_number = models.CharField(max_length=60, blank=True)

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return self.name


class SignedPaper(Versioned):
    """A signed paper as one member of the laboratory typed it and another one confirmed it.

    What a prescription says stands in its revision; ``said`` holds what any other paper says.
    ``said_digest`` stands for what was handed over, so that nothing else is confirmed. The
    name, the licence number and the day are those on the paper.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="signed_papers")
    says = models.CharField(max_length=24, choices=PaperSays)
    state = models.CharField(max_length=16, choices=PaperState, default=PaperState.TYPING)
    prescription = models.ForeignKey(
        Prescription, null=True, blank=True, on_delete=models.PROTECT, related_name="papers"
    )
    said = models.JSONField(default=dict, blank=True)
    said_digest = models.CharField(max_length=64, blank=True)
    signed_name = models.CharField(max_length=120, blank=True)
    licence_number = models.CharField(max_length=60, blank=True)
    signed_on = models.DateField(null=True, blank=True)
    pages = models.ManyToManyField(Attachment, blank=True, related_name="signed_papers")
    typed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    typed_at = models.DateTimeField(null=True, blank=True)
    confirmed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    confirmed_at = models.DateTimeField(null=True, blank=True)
    sent_back_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    sent_back_at = models.DateTimeField(null=True, blank=True)
    sent_back_reason = models.CharField(max_length=200, blank=True)
    given_up_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("id",)
        constraints = (
            models.UniqueConstraint(
                fields=("prescription",),
                condition=~models.Q(state=PaperState.GIVEN_UP),
                name="one_paper_per_revision",
            ),
            models.CheckConstraint(
                name="signedpaper_confirmed_whole",
                condition=~models.Q(state=PaperState.CONFIRMED)
                | models.Q(
                    typed_by__isnull=False,
                    confirmed_by__isnull=False,
                    confirmed_at__isnull=False,
                    signed_on__isnull=False,
                )
                & ~models.Q(signed_name="")
                & ~models.Q(licence_number=""),
            ),
            models.CheckConstraint(
                name="signedpaper_revision_of_prescription",
                condition=models.Q(says=PaperSays.PRESCRIPTION, prescription__isnull=False)
                | ~models.Q(says=PaperSays.PRESCRIPTION) & models.Q(prescription__isnull=True),
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_says_display()} of {self.case}, on paper"

    @property
    def words(self) -> str:
        """The signature in words, with everybody who had a hand in it."""
        return (
            f"on paper, page on file: {self.signed_name}, licence {self.licence_number}, paper of "
            f"{long_date(self.signed_on)}; typed by {self.typed_by}, confirmed by "
            f"{self.confirmed_by}"
        )

    @property
    def in_view(self) -> list[Attachment]:
        """Its pages that nobody took out of view."""
        return [page for page in self.pages.all() if page.removed_at is None]
