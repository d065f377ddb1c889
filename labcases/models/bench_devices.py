"""Tablets and PCs that a laboratory shares at the bench, and what people begin work there with."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import BenchKeyKind
from labcases.models.people import Organisation


class BenchDevice(models.Model):
    """A shared tablet or PC; only a digest of the token in its cookie is stored."""

    organisation = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="bench_devices"
    )
    called = models.CharField(max_length=40)
    place = models.CharField(max_length=60)
    token_digest = models.CharField(max_length=64, unique=True)
    registered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    registered_at = models.DateTimeField(auto_now_add=True)
    stopped_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("called", "pk")

    def __str__(self) -> str:
        return f"{self.called}, {self.place}"


class BenchKey(models.Model):
    """A person's PIN or badge. It is never changed: another one ends it and takes its place."""

    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="bench_keys"
    )
    kind = models.CharField(max_length=10, choices=BenchKeyKind)
    secret_digest = models.CharField(max_length=200)
    """Of a PIN what the password hasher made, of a badge the digest of its random digits."""
    made_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("-pk",)
        indexes = (models.Index(fields=("kind", "secret_digest"), name="bench_key_kept"),)
        constraints = (
            models.UniqueConstraint(
                fields=("user", "kind"),
                condition=models.Q(ended_at__isnull=True),
                name="one_bench_key_of_a_kind",
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.user}"


class PinTries(models.Model):
    """How often a PIN was typed wrong on a device since it was last right."""

    key = models.ForeignKey(BenchKey, on_delete=models.PROTECT, related_name="tries")
    device = models.ForeignKey(BenchDevice, on_delete=models.PROTECT, related_name="tries")
    wrong = models.PositiveSmallIntegerField(default=0)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("key", "device"), name="one_count_of_pin_tries"),
        )

    def __str__(self) -> str:
        return f"{self.wrong} wrong on {self.device}"
