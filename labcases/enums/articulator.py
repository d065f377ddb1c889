"""The instrument, its settings and what is computed from them."""

from django.db.models import TextChoices


class TableMember(TextChoices):
    UPPER = "upper", "Upper member"
    LOWER = "lower", "Lower member"


class FrontGuide(TextChoices):
    TABLE = "table", "The incisal table"
    STONE_TEETH = "stone teeth", "Stone front teeth"
    DENTURE_TEETH = "denture teeth", "Planned denture front teeth"


class ReferencePlane(TextChoices):
    AXIS = "axis plane", "Axis plane of the articulator"
    CAMPER = "ala-tragus plane", "Ala-tragus plane"
    OCCLUSAL = "occlusal plane", "Occlusal plane"


class SettingsOrigin(TextChoices):
    PRESCRIBED = "prescribed", "Prescribed by the dentist"
    RECORDS = "check records", "From check records"
    AVERAGE = "average", "Average values"
    APPROVED = "approved", "Approved by the dentist"


class CheckRecordKind(TextChoices):
    """What a check record was read as: points of the lower cast, or the gap behind."""

    CLOSED = "closed", "Points with the casts closed"
    PROTRUSIVE = "protrusive", "Points in a protrusive record"
    RIGHT = "right lateral", "Points in a right lateral record"
    LEFT = "left lateral", "Points in a left lateral record"
    GAP = "posterior gap", "Posterior gap in a protrusive record"


class SpaceFrom(TextChoices):
    HEALED_RIDGE = "healed ridge", "Healed ridge"
    TRIM_LINE = "planned trim line", "Planned trim line"
    TUBEROSITY = "tuberosity", "Tuberosity"


class CheckKind(TextChoices):
    CLEARANCE = "clearance", "Clearance check"
    HEIGHT = "height budget", "Height budget"
