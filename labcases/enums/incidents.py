"""What can go wrong with a case, what that takes back, and what it sets off beside."""

from django.db.models import TextChoices


class Thing(TextChoices):
    """Something that was said of work already done, and that an incident may unsay."""

    CASTS = (
        "casts inspected",
        "The casts no longer count as inspected, and what was trimmed off one is struck out.",
    )
    MOUNTING = (
        "mounting",
        "The mounting is kept as a past one; the casts are mounted and verified again.",
    )
    RECORD = "jaw record", "The jaw record of the mounting no longer counts; a new one is taken."
    CHECK_RECORDS = "check records", "Check records that were read in are struck out."
    PIN = "pin readings", "Pin openings and readings are struck out."
    PASSES = "passes", "Passes with foil, and cusps seen in their fossae, are struck out."
    PARTS = "parts of the set-up", "Parts of the set-up that were done are struck out as done."
    TEETH = "teeth in hand", "The teeth no longer count as in hand."
    CHECKS = (
        "checks",
        "The clearance check and the height budget are stale and are computed again.",
    )
    TRY_IN = "try-in", "The verdict on the try-in falls: it is tried in again, or waived again."
    WAX = (
        "final wax approval",
        "The dentist's approval of the final wax and of the trimming falls.",
    )
    DUPLICATE = "duplicate", "The duplicate of the trimmed cast no longer counts as made."
    RELEASE = (
        "release",
        "What was read at the remount, the disinfection and the second look are taken out.",
    )


class IncidentGroup(TextChoices):
    CASTS = "casts and records", "Casts and records"
    TEETH = "teeth and set-up", "Teeth and set-up"
    PROCESSING = "processing", "Processing"
    BOXES = "boxes and identity", "Boxes, and whose they are"
    PATIENT = "patient and surgery", "Patient and surgery"


class IncidentEffect(TextChoices):
    """What an incident sets off beside what it takes back."""

    NONE = "none", "Nothing beside"
    LOST_BOX = "lost box", "A box is lost"
    ONE_TOOTH = "one tooth", "The tooth is replaced, and the set stays"
    NOT_TO_BE_HAD = "not to be had", "Orders that have not come are marked, or cancelled"
    FREEZE = "freeze", "The case stands still until two people have looked who the patient is"
    ALLERGY = "allergy", "The safety strip says it at once"
    POSTPONE = "postpone", "The surgery day moves"
    STOP = "stop", "The case stops, or ends"
    SILENCE = "silence", "The case stops, and nobody is reminded of anything any more"
