"""Photographs and papers of a case: what was kept, who added it, and who took it out of view."""

from __future__ import annotations

import secrets

from django.conf import settings
from django.db import models

from labcases.enums import AttachmentKind, PhotographView
from labcases.models.case import Case

#: Views in which a person can be recognised: the laboratory sees them once the patient agreed.
OF_THE_FACE = (PhotographView.FACE, PhotographView.SMILE, PhotographView.PROFILE)
#: Kinds that show something from one side.
PHOTOGRAPHS = (AttachmentKind.PHOTOGRAPH, AttachmentKind.FINAL_WAX)
FOLDER = "attachments"


def random_name(_row: models.Model, _sent: str) -> str:
    """A name that says nothing of the case, the patient or the file that was sent."""
    name = secrets.token_hex(16)
    return f"{FOLDER}/{name[:2]}/{name}.jpg"


class Attachment(models.Model):
    """One picture as it was encoded anew; the bytes that were sent are not kept.

    Only their digest is (``sent_sha256``), so that the same file is not added twice. The
    name that the file came with is not kept at all: such names often hold a patient's.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="attachments")
    kind = models.CharField(max_length=20, choices=AttachmentKind)
    view = models.CharField(max_length=20, choices=PhotographView, blank=True)
    caption = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    file = models.FileField(upload_to=random_name)
    small = models.FileField(upload_to=random_name)
    content_type = models.CharField(max_length=20, default="image/jpeg")
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    size_bytes = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64)
    small_sha256 = models.CharField(max_length=64)
    sent_sha256 = models.CharField(max_length=64)

    agreement_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    agreement_at = models.DateTimeField(null=True, blank=True)
    removed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    removed_at = models.DateTimeField(null=True, blank=True)
    removed_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("at", "id")
        constraints = (
            models.CheckConstraint(
                name="attachment_view_of_photograph",
                condition=models.Q(kind__in=PHOTOGRAPHS) & ~models.Q(view="")
                | ~models.Q(kind__in=PHOTOGRAPHS) & models.Q(view=""),
            ),
            models.CheckConstraint(
                name="attachment_removed_whole",
                condition=models.Q(
                    removed_at__isnull=True, removed_by__isnull=True, removed_reason=""
                )
                | models.Q(removed_at__isnull=False, removed_by__isnull=False)
                & ~models.Q(removed_reason=""),
            ),
            models.CheckConstraint(
                name="attachment_agreement_whole",
                condition=models.Q(agreement_at__isnull=True, agreement_by__isnull=True)
                | models.Q(agreement_at__isnull=False, agreement_by__isnull=False),
            ),
            # One file stands once in a case; what was taken out of view may be added again.
            models.UniqueConstraint(
                fields=("case", "sent_sha256"),
                condition=models.Q(removed_at__isnull=True),
                name="one_attachment_per_file",
            ),
        )

    def __str__(self) -> str:
        return self.words

    @property
    def words(self) -> str:
        """What it is, without the words that a person added."""
        if self.kind in PHOTOGRAPHS:
            return f"{self.get_kind_display().lower()}, {self.get_view_display().lower()}"
        return self.get_kind_display().lower()

    @property
    def of_the_face(self) -> bool:
        return self.view in OF_THE_FACE

    @property
    def held_back(self) -> bool:
        """Kept from the laboratory until the office confirms that the patient agreed."""
        return self.of_the_face and self.agreement_at is None
