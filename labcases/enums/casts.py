"""Casts, jaw records and the mounting."""

from django.db.models import TextChoices


class RecordKind(TextChoices):
    """Which relation of the jaws a record holds."""

    MAXIMUM_INTERCUSPATION = "maximum intercuspation", "Maximum intercuspation"
    CENTRIC_RELATION = "centric relation", "Centric relation"
    PROTRUSIVE = "protrusive", "Protrusive"
    RIGHT = "right lateral", "Right lateral"
    LEFT = "left lateral", "Left lateral"


class CastKind(TextChoices):
    STUDY = "study", "Study cast"
    MASTER = "master", "Master cast"
    WORKING = "working", "Working cast"
    OPPOSING = "opposing", "Opposing cast"
    DUPLICATE = "duplicate", "Duplicate"
    TRIMMED = "trimmed", "Trimmed cast"


class CastState(TextChoices):
    """What an inspection says of a cast."""

    GOOD = "good", "Good"
    MENDED = "mended", "Mended"
    BROKEN = "broken", "Broken: a new one is needed"


class PieceKind(TextChoices):
    """What is made on a cast before teeth are set."""

    TRAY = "custom tray", "Custom tray"
    BASE = "record base", "Record base"
    RIM = "rim", "Record base with rim"


class TransferMethod(TextChoices):
    ARBITRARY = "arbitrary face-bow", "Arbitrary face-bow"
    KINEMATIC = "kinematic face-bow", "Kinematic face-bow"
    AVERAGE = "average values", "Average values, no transfer"


class Verification(TextChoices):
    FOIL = "foil", "Foil held at spread points (maximum intercuspation)"
    SECOND_RECORD = "second record", "Second record agrees"
    SPLIT_CAST = "split cast", "Split cast closes"


class ReturnTo(TextChoices):
    """Where a mounting that is not right is sent back to."""

    NEW_MOUNTING = "new mounting", "New mounting"
    NEW_RECORD = "new record", "New jaw record"
