"""Surgery and delivery: what became of the template, and what was placed under the denture."""

from django.db.models import TextChoices


class TemplateUse(TextChoices):
    USED = "used", "Used, and what blanched was relieved"
    NOT_USED = "not used", "Came with the denture, and was not used"
    NONE = "none", "None came with the denture"


class Liner(TextChoices):
    """What was placed in the fitting surface at delivery."""

    NONE = "none", "Nothing"
    CONDITIONER = "tissue conditioner", "Tissue conditioner"
    SOFT = "soft liner", "Soft liner"
