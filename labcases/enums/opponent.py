"""What stands in the arch that the denture meets."""

from django.db.models import TextChoices


class Opponent(TextChoices):
    """The kind of the opposing arch as a whole; the chart says it tooth by tooth."""

    NATURAL = "natural teeth", "Natural teeth"
    NATURAL_FRONT = "natural front teeth", "Natural front teeth only"
    PARTIAL_WORN = "partial denture worn", "Natural teeth and a partial denture that is worn"
    PARTIAL_MADE = (
        "partial denture being made",
        "Natural teeth and a partial denture that is being made",
    )
    COMPLETE_WORN = "complete denture worn", "A complete denture that is worn"
    COMPLETE_MADE = "complete denture being made", "A complete denture that is being made"
    NOTHING = "nothing", "No tooth and no denture"


class HeightReading(TextChoices):
    """How the height of an over-erupted tooth was read against the occlusal plane."""

    PLATE = "flat plate on the cast", "Callipers and a flat plate, on the cast"
    MOUNTED = "mounted cast", "On the mounted cast, against the plane of the articulator"
    MOUTH = "straight edge in the mouth", "A straight edge in the mouth"
    EYE = "by eye", "Estimated by eye"
