"""People and the houses they work in."""

from django.db.models import TextChoices


class OrganisationKind(TextChoices):
    OFFICE = "office", "Office"
    LABORATORY = "laboratory", "Laboratory"
    BOTH = "both", "Office and laboratory"


class Role(TextChoices):
    """What a membership makes of a person inside one organisation."""

    DENTIST = "dentist", "Dentist"
    FRONT_DESK = "front desk", "Front desk"
    TECHNICIAN = "technician", "Technician"
    MANAGER = "laboratory manager", "Laboratory manager"


class Position(TextChoices):
    """Where a person stands towards one case: the columns of the access table."""

    DENTIST = "dentist", "dentist"
    OFFICE_DESK = "office desk", "office front desk"
    TECHNICIAN = "technician", "technician"
    LAB_DESK = "laboratory desk", "laboratory front desk"
    LAB_MANAGER = "laboratory manager", "laboratory manager"


class BenchKeyKind(TextChoices):
    """What a person begins work on a bench device with."""

    PIN = "pin", "PIN"
    BADGE = "badge", "badge"


class HouseDayKind(TextChoices):
    """How a house is open on one day, otherwise than its week and its list of holidays say."""

    CLOSED = "closed", "closed"
    OPEN = "open", "open all the same"
    HALF = "half", "open half the day"


class AskedBy(TextChoices):
    """Who asks for the erasure of a patient's data; never a name."""

    PATIENT = "patient", "the patient"
    REPRESENTATIVE = "representative", "somebody who speaks for the patient"
    AUTHORITY = "authority", "an authority or a court"


class Notation(TextChoices):
    ISO_3950 = "ISO 3950", "ISO 3950 (two digits)"
    UNIVERSAL = "Universal", "Universal (1 to 32)"


class PaperSize(TextChoices):
    A4 = "A4", "A4"
    LETTER = "Letter", "Letter"
