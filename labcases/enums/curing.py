"""How a base is processed, and what its materials are used for."""

from __future__ import annotations

from django.db.models import TextChoices


class Technique(TextChoices):
    """Each with its own fields and steps: ``labcases/reference/curing.toml``."""

    FLASK = "flask and bath", "Flask and water bath"
    INJECTION = "injection", "Injection"
    POUR = "pour", "Pour"
    MILLED = "milled", "Milled"
    PRINTED = "printed", "Printed"


class MaterialUse(TextChoices):
    POWDER = "resin powder", "Resin powder"
    LIQUID = "resin liquid", "Resin liquid"
    RESIN = "resin", "Resin in one part"
    DISC = "disc", "Disc"
    PRINTING = "printing resin", "Printing resin"
    BONDING = "bonding agent", "Bonding agent for the teeth"
    INVESTMENT = "investment", "Investment"
    SEPARATOR = "separator", "Separator"
    OTHER = "other", "Something else"
