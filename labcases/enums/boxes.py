"""What travels between the houses."""

from django.db.models import TextChoices


class BoxDirection(TextChoices):
    TO_LABORATORY = "to the laboratory", "To the laboratory"
    TO_OFFICE = "to the office", "To the office"


class BoxContent(TextChoices):
    IMPRESSION = "impression", "Impression"
    CAST = "cast", "Cast"
    JAW_RECORD = "jaw record", "Jaw record"
    FACE_BOW = "face-bow record", "Face-bow record"
    RIM = "rim", "Record base with rim"
    TRAY = "tray", "Tray"
    WAX_SET_UP = "wax set-up", "Wax set-up"
    DENTURE = "denture", "Denture"
    TEMPLATE = "template", "Surgical template"
    PHOTOGRAPHS = "photographs", "Photographs"


class BoxTrouble(TextChoices):
    """What became of a box that is not where it should be."""

    LOST = "lost", "Lost"
    NOT_OURS = "not ours", "Not ours, or of another case"


class DifferenceOutcome(TextChoices):
    """What a count that differs from the list turned out to be."""

    FOUND = "found", "Found after all"
    NEVER_PACKED = "never packed", "Never packed: the sender still has it"
    LOST = "lost", "Lost"
    NOT_LISTED = "not listed", "Packed, and not written on the list"
    MISCOUNTED = "miscounted", "Counted wrong: the list is right"
