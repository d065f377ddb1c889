"""What a laboratory enters of a material of its own."""

from __future__ import annotations

from django.db.models import TextChoices


class OwnKind(TextChoices):
    BASE = "base", "Denture base"
    LINER = "liner", "Liner"
    REPAIR = "repair", "Tooth repair"


class Monomer(TextChoices):
    """What the label or the safety sheet says; nobody guesses it."""

    YES = "yes", "Contains monomer"
    NO = "no", "Contains no monomer"
    UNSAID = "unsaid", "The label does not say"
