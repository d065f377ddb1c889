"""Where a lot is told of a denture, and of what."""

from django.db.models import TextChoices


class LotOf(TextChoices):
    """What a lot is of that is added at the release."""

    BASE = "base", "Denture base"
    TEETH = "teeth", "Teeth"
    LINER = "liner", "Liner"
    OTHER = "other", "Something else"
    BEFORE = "before", "Written before, in one text"
