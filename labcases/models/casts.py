"""Impressions, the casts that are poured from them, and what is made on the casts.

Lines of a log: each is entered once, struck out when wrong, and never erased.
"""

from __future__ import annotations

from django.db import models

from labcases.enums import Arch, CastKind, CastState, PieceKind
from labcases.models.base import LogLine, between, mm
from labcases.models.case import Case


class Impression(LogLine):
    """One impression. ``material`` is a key of ``labcases/reference/impressions.toml``."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="impressions")
    arch = models.CharField(max_length=8, choices=Arch)
    material = models.CharField(max_length=32)
    product = models.CharField(max_length=80, blank=True)
    tray = models.CharField(max_length=80, blank=True)
    taken_at = models.DateTimeField()
    poured_at = models.DateTimeField(null=True, blank=True)
    label_earliest_minutes = models.PositiveIntegerField(null=True, blank=True)
    label_latest_minutes = models.PositiveIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta(LogLine.Meta):
        constraints = (
            models.CheckConstraint(
                name="impression_poured_after_taken",
                condition=models.Q(poured_at__isnull=True)
                | models.Q(poured_at__gte=models.F("taken_at")),
            ),
        )

    def __str__(self) -> str:
        return f"{self.arch} impression, {self.material}"


class Cast(LogLine):
    """One cast. ``gypsum`` is a key of ``labcases/reference/gypsum.toml``, or not known."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="casts")
    arch = models.CharField(max_length=8, choices=Arch)
    kind = models.CharField(max_length=12, choices=CastKind)
    impression = models.ForeignKey(
        Impression, null=True, blank=True, on_delete=models.PROTECT, related_name="casts"
    )
    made_from = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="made"
    )
    poured_at = models.DateTimeField(null=True, blank=True)
    """Its own pour, where the impression was poured more than once."""
    gypsum = models.CharField(max_length=8, blank=True)
    product = models.CharField(max_length=80, blank=True)
    water_ml = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    powder_g = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    set_minutes = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    separated_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    poured_by = models.CharField(max_length=80, blank=True)
    lot = models.CharField(max_length=60, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta(LogLine.Meta):
        constraints = (
            between("water_ml", "1", "2000"),
            between("powder_g", "1", "5000"),
            between("set_minutes", "0.5", "240"),
        )

    def __str__(self) -> str:
        lot = f", {self.lot}" if self.lot else ""
        return f"{self.arch} {self.kind} cast{lot}"


class CastLook(LogLine):
    """One inspection of a cast; the last that stands says in which state the cast is."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="cast_looks")
    cast = models.ForeignKey(Cast, on_delete=models.PROTECT, related_name="looks")
    bubbles = models.BooleanField(default=False)
    chipped = models.BooleanField(default=False)
    rocks = models.BooleanField(default=False)
    state = models.CharField(max_length=8, choices=CastState)
    note = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"{self.cast}: {self.state}"


class Piece(LogLine):
    """What is made on a cast: a custom tray, a record base, a rim."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="pieces")
    kind = models.CharField(max_length=12, choices=PieceKind)
    arch = models.CharField(max_length=8, choices=Arch)
    cast = models.ForeignKey(
        Cast, null=True, blank=True, on_delete=models.PROTECT, related_name="pieces"
    )
    design = models.CharField(max_length=80, blank=True)
    material = models.CharField(max_length=80, blank=True)
    front_mm = mm(null=True, blank=True)
    back_mm = mm(null=True, blank=True)
    lot = models.CharField(max_length=60, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta(LogLine.Meta):
        constraints = (between("front_mm", "0", "40"), between("back_mm", "0", "40"))

    def __str__(self) -> str:
        return f"{self.arch} {self.kind}"
