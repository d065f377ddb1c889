"""Questions about a case: one thread each, with what every person has read of it."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils import timezone

from labcases.enums import EntryKind, Side
from labcases.models.box import Box
from labcases.models.case import Case
from labcases.models.history import AppendOnly
from labcases.models.prescription import Prescription

WAITING = models.Q(answered_at__isnull=True, closed_at__isnull=True)
"""Questions that still want an answer."""


class Question(models.Model):
    """A question about a named thing, and where its thread stands.

    ``about`` names the thing in words; a tooth or a box is kept beside it. ``answer`` is
    the one that counts now, and empty again when the asker asks once more: every word
    of the thread stays in ``entries``. ``said`` counts those and serves as version.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="questions")
    about = models.CharField(max_length=60)
    tooth = models.CharField(max_length=2, blank=True)
    box = models.ForeignKey(
        Box, null=True, blank=True, on_delete=models.PROTECT, related_name="questions"
    )
    text = models.TextField(max_length=1000)
    waits_for = models.CharField(max_length=12, choices=Side)
    clinical = models.BooleanField(default=False)
    blocking = models.BooleanField(default=True)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    asked_from = models.CharField(max_length=12, choices=Side)
    asked_at = models.DateTimeField(auto_now_add=True)
    waiting_since = models.DateTimeField()
    answer = models.TextField(max_length=1000, blank=True)
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    answered_at = models.DateTimeField(null=True, blank=True)
    revision = models.ForeignKey(
        Prescription, null=True, blank=True, on_delete=models.PROTECT, related_name="questions"
    )
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    said = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ("asked_at", "id")

    def __str__(self) -> str:
        return f"{self.about}: {self.text[:40]}"

    @property
    def waits(self) -> bool:
        return self.answered_at is None and self.closed_at is None


class EntryQuerySet(models.QuerySet["QuestionEntry"]):
    def update(self, **_changes: Any) -> int:
        raise AppendOnly("What was said stays as it is. Say something more instead.")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise AppendOnly("What was said is never erased. Say something more instead.")


class QuestionEntry(models.Model):
    """One thing said in a thread after the question itself."""

    question = models.ForeignKey(Question, on_delete=models.PROTECT, related_name="entries")
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=12, choices=EntryKind)
    text = models.TextField(max_length=1000, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    revision = models.ForeignKey(
        Prescription, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = EntryQuerySet.as_manager()

    class Meta:
        ordering = ("question", "number")
        constraints = (
            models.UniqueConstraint(
                fields=("question", "number"), name="one_entry_per_place_in_a_thread"
            ),
        )

    def __str__(self) -> str:
        return f"{self.kind}: {self.text[:40]}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.pk is not None:
            raise AppendOnly("What was said stays as it is. Say something more instead.")
        super().save(*args, **kwargs)

    def delete(self, *_args: Any, **_kwargs: Any) -> tuple[int, dict[str, int]]:
        raise AppendOnly("What was said is never erased. Say something more instead.")


class QuestionRead(models.Model):
    """How far one person has read one thread: 0 is the question itself."""

    question = models.ForeignKey(Question, on_delete=models.PROTECT, related_name="reads")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    said = models.PositiveIntegerField()
    at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("question", "user"), name="one_marker_per_reader"),
        )

    def __str__(self) -> str:
        return f"{self.user} read {self.question_id} up to {self.said}"
