"""What foil leaves on a tooth in a pass."""

from django.db.models import TextChoices


class Strength(TextChoices):
    """How strongly a tooth marks, beside the others of the pass."""

    LIGHT = "light", "Light"
    FIRM = "firm", "Firm"
    HEAVY = "heavy", "Heavy"


class Cusps(TextChoices):
    """Which cusps of the pair meet.

    In centric ``buccal`` is the lower buccal cusp in the upper fossa and ``lingual`` the upper
    lingual cusp in the lower fossa; in an excursion the two buccal or the two lingual ones.
    """

    BUCCAL = "buccal", "Buccal"
    LINGUAL = "lingual", "Lingual"


class Excursions(TextChoices):
    """Whether the cusp that is high in centric marks in the excursions too, as it was said."""

    YES = "yes", "Yes, it marks there too"
    NO = "no", "No, only in centric"
    NOT_KNOWN = "not known", "Not known yet"


class Decision(TextChoices):
    """What became of the one change that would explain marks; what is adopted shows by itself."""

    PROPOSED = "proposed", "Proposed to the dentist"
    LEFT = "left", "Left"
