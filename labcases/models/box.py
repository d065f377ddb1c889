"""Boxes that travel between office and laboratory, and what is in them."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums import BoxContent, BoxDirection
from labcases.enums.boxes import BoxTrouble, DifferenceOutcome
from labcases.models.base import LogLine, Versioned
from labcases.models.case import Case
from labcases.models.people import Organisation


class Box(Versioned):
    """A movement: packed, sent, received and counted."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="boxes")
    direction = models.CharField(max_length=20, choices=BoxDirection)
    courier = models.CharField(max_length=80, blank=True)
    tracking = models.CharField("tracking number", max_length=80, blank=True)
    announced = models.BooleanField(default=True)
    """Somebody who sent it said so; the others were recorded by the house they came to."""
    packed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    packed_at = models.DateTimeField(auto_now_add=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    received_at = models.DateTimeField(null=True, blank=True)
    received_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    trouble = models.CharField(max_length=12, choices=BoxTrouble, blank=True)
    trouble_note = models.CharField(max_length=200, blank=True)
    trouble_at = models.DateTimeField(null=True, blank=True)
    trouble_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    turned_up_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("packed_at", "id")

    def __str__(self) -> str:
        return f"box {self.direction}"

    @property
    def comes_to(self) -> str:
        """The house that takes the box in."""
        return "laboratory" if self.direction == BoxDirection.TO_LABORATORY else "office"

    @property
    def receiver(self) -> Organisation:
        return self.case.laboratory if self.comes_to == "laboratory" else self.case.office


class BoxItem(models.Model):
    """One kind of thing in a box, with its count and how it was disinfected."""

    box = models.ForeignKey(Box, on_delete=models.CASCADE, related_name="items")
    content = models.CharField(max_length=20, choices=BoxContent)
    count = models.PositiveSmallIntegerField(default=1)
    agent = models.CharField(max_length=80, blank=True)
    label_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    actual_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    disinfected_by = models.CharField(max_length=120, blank=True)
    """Who did it, as the house that sends the box declares."""
    received_count = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering = ("id",)
        constraints = (
            models.CheckConstraint(name="boxitem_count_range", condition=models.Q(count__gte=1)),
        )

    def __str__(self) -> str:
        return f"{self.count} x {self.content}"

    @property
    def needs_disinfection(self) -> bool:
        """Photographs are the only content that has never been near a mouth."""
        return self.content != BoxContent.PHOTOGRAPHS

    @property
    def disinfection_declared(self) -> bool:
        return bool(self.agent and self.label_minutes and self.actual_minutes)

    @property
    def disinfection_too_short(self) -> bool:
        return bool(
            self.label_minutes and self.actual_minutes and self.actual_minutes < self.label_minutes
        )

    @property
    def counted_otherwise(self) -> bool:
        """Another number was counted than is on the list; only that can be settled."""
        return self.received_count is not None and self.received_count != self.count

    @property
    def settlement(self) -> Settlement | None:
        """What the difference of this item turned out to be, if somebody said so."""
        if not self.counted_otherwise:
            return None
        return next((row for row in self.settlements.all() if row.struck_at is None), None)

    @property
    def differs(self) -> bool:
        """Another number was counted than is on the list, and nobody has settled it."""
        return self.counted_otherwise and not self.box.trouble and self.settlement is None

    @property
    def arrived_count(self) -> int:
        """Pieces that are in the house that the box came to."""
        if self.received_count is None or self.box.trouble:
            return 0
        told = self.settlement
        if told and told.outcome in (DifferenceOutcome.FOUND, DifferenceOutcome.MISCOUNTED):
            return self.count
        return self.received_count

    @property
    def came_undisinfected(self) -> bool:
        """Nobody declared that it was disinfected for as long as a label says."""
        if not self.needs_disinfection:
            return False
        return not self.disinfection_declared or self.disinfection_too_short

    @property
    def is_contaminated(self) -> bool:
        """Not known to be disinfected for as long as a label says: before it left, or since."""
        return self.came_undisinfected and not any(
            row.struck_at is None and row.enough for row in self.disinfections.all()
        )


class Disinfection(LogLine):
    """One disinfection of what came in a box, in the house that it came to."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="disinfections")
    item = models.ForeignKey(BoxItem, on_delete=models.PROTECT, related_name="disinfections")
    agent = models.CharField(max_length=80)
    label_minutes = models.PositiveSmallIntegerField()
    actual_minutes = models.PositiveSmallIntegerField()
    done_by = models.CharField(max_length=120)
    done_at = models.DateTimeField()

    class Meta(LogLine.Meta):
        constraints = (
            models.CheckConstraint(
                name="disinfection_minutes_range",
                condition=models.Q(label_minutes__gte=1, actual_minutes__gte=1),
            ),
        )

    def __str__(self) -> str:
        return f"{self.item.content}: {self.agent}"

    @property
    def enough(self) -> bool:
        return self.actual_minutes >= self.label_minutes


class Settlement(LogLine):
    """What a count that differed from the list turned out to be."""

    case = models.ForeignKey(Case, on_delete=models.PROTECT, related_name="settlements")
    item = models.ForeignKey(BoxItem, on_delete=models.PROTECT, related_name="settlements")
    outcome = models.CharField(max_length=16, choices=DifferenceOutcome)
    note = models.CharField(max_length=200)

    def __str__(self) -> str:
        return f"{self.item.content}: {self.outcome}"
