"""History: append-only, for everybody, and chained within a laboratory."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.db import models, transaction
from django.utils import timezone

from labcases.models import chain
from labcases.models.case import Case
from labcases.models.people import Organisation


class AppendOnly(Exception):
    """History was about to be changed. Write a new entry instead."""


class ChainHeadManager(models.Manager["ChainHead"]):
    def locked(self, laboratory_id: int) -> ChainHead:
        """The head of a laboratory's chain, held until the transaction ends."""
        found = self.select_for_update().filter(laboratory=laboratory_id).first()
        if found is None:
            self.bulk_create([ChainHead(laboratory_id=laboratory_id)], ignore_conflicts=True)
            found = self.select_for_update().get(laboratory=laboratory_id)
        return found


class ChainHead(models.Model):
    """How far the history of a laboratory goes: number and digest of its last entry.

    Whoever writes history holds this row until the end of the transaction, so that the
    entries of a laboratory stand in one order, without gaps.
    """

    laboratory = models.OneToOneField(
        Organisation, on_delete=models.PROTECT, related_name="chain_head"
    )
    sequence = models.PositiveBigIntegerField(default=0)
    digest = models.CharField(max_length=64, default=chain.START)

    objects = ChainHeadManager()

    def __str__(self) -> str:
        return f"{self.laboratory}: {self.sequence}"


class HistoryQuerySet(models.QuerySet["HistoryEntry"]):
    def update(self, **_changes: Any) -> int:
        raise AppendOnly("History cannot be changed. Write a new entry instead.")

    def delete(self) -> tuple[int, dict[str, int]]:
        raise AppendOnly("History cannot be erased. Write a new entry instead.")

    def bulk_create(self, objs: Iterable[HistoryEntry], *_args: Any, **_kwargs: Any) -> Any:
        raise AppendOnly("Entries are chained one by one. Save each of them.")


class HistoryEntry(models.Model):
    """Who did what to which part, when, and what stood there before.

    ``changes`` maps a field's label to ``[before, after]``; fields that identify a
    patient hold ``["", "changed"]`` and never a value. Database triggers refuse
    updates and deletes as well (``labcases.models.guard``).

    Entries are numbered within the laboratory of their case; each digest is made from the
    one before and from what the entry says (``labcases.models.chain``). The number says the
    order, never the clock. ``manage.py verify_history`` walks the chain.
    """

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="history")
    at = models.DateTimeField(default=timezone.now, editable=False)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    position = models.CharField(max_length=100, blank=True)
    act = models.CharField(max_length=40)
    part = models.CharField(max_length=40)
    changes = models.JSONField(default=dict, blank=True)
    reason = models.TextField(blank=True)
    row = models.JSONField(null=True, blank=True, default=None, editable=False)
    """Which row changed, to which version, and its values before: what an undo starts from."""
    laboratory = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="+", editable=False
    )
    sequence = models.PositiveBigIntegerField(editable=False)
    previous = models.CharField(max_length=64, editable=False)
    digest = models.CharField(max_length=64, editable=False)

    objects = HistoryQuerySet.as_manager()

    class Meta:
        ordering = ("sequence",)
        indexes = (models.Index(fields=("case", "sequence")),)
        constraints = (
            models.UniqueConstraint(fields=("laboratory", "sequence"), name="one_entry_per_number"),
        )

    def __str__(self) -> str:
        return f"{self.part}: {self.act}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Chain the entry to the last one of its laboratory, and store it once."""
        if self.pk is not None:
            raise AppendOnly("History cannot be changed. Write a new entry instead.")
        self.laboratory_id = self.case.laboratory_id
        with transaction.atomic():
            head = ChainHead.objects.locked(self.laboratory_id)
            self.at = timezone.now()
            self.sequence, self.previous = head.sequence + 1, head.digest
            self.digest = self.made_digest()
            super().save(*args, **kwargs)
            ChainHead.objects.filter(pk=head.pk).update(sequence=self.sequence, digest=self.digest)

    def made_digest(self) -> str:
        """The digest that belongs to what the entry says now."""
        return chain.digest(
            previous=self.previous,
            sequence=self.sequence,
            case=self.case.code,
            at=self.at,
            by=self.by_id,
            position=self.position,
            act=self.act,
            part=self.part,
            changes=self.changes,
            reason=self.reason,
            row=self.row,
        )

    def delete(self, *_args: Any, **_kwargs: Any) -> tuple[int, dict[str, int]]:
        raise AppendOnly("History cannot be erased. Write a new entry instead.")
