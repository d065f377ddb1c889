"""What is measured and said at a try-in."""

from django.db.models import TextChoices


class Closing(TextChoices):
    """Where the jaw closes, against the articulator."""

    SAME = "same", "Same"
    FORWARD = "forward", "Forward of it"
    BACK = "back", "Behind it"
    RIGHT = "right", "To the patient's right"
    LEFT = "left", "To the patient's left"


class LipContact(TextChoices):
    """Where the patient's own upper front teeth are at F and V sounds."""

    MEETS = "meets", "Meet the lower lip lightly"
    SHORT = "short", "Do not reach the lower lip"
    LONG = "long", "Press into the lower lip"


class PatientSaw(TextChoices):
    PHOTOGRAPHS = "photographs", "Photographs"
    MOCK_UP = "mock-up", "A mock-up"
    BOTH = "both", "Photographs and a mock-up"


class PatientWord(TextChoices):
    """What the patient said of the front teeth to come."""

    AS_SHOWN = "as shown", "Copied as shown"
    LISTED = "as listed", "Changed as listed"
    NOT_ASKED = "not asked", "Not asked"
