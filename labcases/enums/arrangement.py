"""How a front tooth is set otherwise than the natural one, and who wants it so."""

from django.db.models import TextChoices


class Deviation(TextChoices):
    FORWARD = "further forward", "Further forward"
    BACK = "further back", "Further back"
    LONGER = "longer", "Longer"
    SHORTER = "shorter", "Shorter"
    SPACE = "space", "Space beside it opened or closed"
    TURNED = "turned", "Turned about its long axis"
    TIPPED = "tipped", "Tipped to the side"
    OTHER = "other", "Otherwise, in words"


class WantedBy(TextChoices):
    PRESCRIPTION = "prescription", "The prescription"
    TECHNICIAN = "technician", "The technician"
