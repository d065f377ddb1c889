"""Choices that only a prescription asks for; what it shares with other nouns stands beside it."""

from django.db.models import TextChoices


class PostDam(TextChoices):
    """Who finds the place of the post-dam of an upper denture."""

    CARVED = "carved by the dentist", "Carved by the dentist on the cast"
    DRAWN = "drawn by the dentist", "Drawn by the dentist, carved by the technician"
    BY_MARK = "by the mark", "Carved by the technician, at the mark in the impression"


class LowerBorder(TextChoices):
    """Where a lower denture ends behind."""

    AS_IMPRESSION = "as the impression", "Where the impression ends"
    AS_MARKED = "as marked", "Where the dentist marked it on the cast"
    ASK = "ask", "Ask the dentist before the final wax"


class VerticalWish(TextChoices):
    AS_TEETH = "as the teeth", "As the natural teeth hold it now"
    AS_RECORD = "as the record", "As the jaw record shows"


class MouldForm(TextChoices):
    """The outline of the front teeth, seen from in front."""

    NATURAL = "natural", "As the natural teeth"
    SQUARE = "square", "Square"
    TAPERING = "tapering", "Tapering"
    OVOID = "ovoid", "Ovoid"
    MIXED = "mixed", "Mixed"


class ShadeLight(TextChoices):
    DAYLIGHT = "daylight", "Daylight"
    LAMP = "daylight lamp", "Daylight lamp"
    ROOM = "room light", "Room light"


class NaturalChanges(TextChoices):
    """What the dentist allows on natural teeth; the laboratory never plans any."""

    NONE = "none", "None: natural teeth stay as they are"
    LISTED = "as listed", "Those that the dentist lists, and no others"


class Identification(TextChoices):
    """What marks the denture as this patient's. A text of the office is held apart."""

    NONE = "none", "No mark"
    PATIENT_CODE = "patient code", "The patient code"
    CASE_CODE = "case code", "The case code"
    OFFICE_TEXT = "office text", "A text that the office gives at finishing"


class SettingsWish(TextChoices):
    """How the dentist wants the articulator set."""

    AVERAGE = "average values", "Average values, as the laboratory uses them"
    RECORDS = "from the records", "From the check records that come along"
    WRITTEN = "as written", "As written below"


class RelinePlan(TextChoices):
    """What follows when the ridge has changed under the denture."""

    RELINE = "reline", "A reline when the ridge has settled"
    NEW = "new denture", "A new denture in its place"
    REVIEWS = "at the reviews", "Decided at the reviews"
