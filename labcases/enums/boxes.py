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
