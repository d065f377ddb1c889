"""The log of the set-up, the try-in and the wax."""

from django.db.models import TextChoices


class SetUpAct(TextChoices):
    """One line of the set-up log."""

    BASE_ADAPTED = "base adapted", "Base adapted, stabilised and sealed"
    PIN_OPENED = "pin opened", "Pin opened"
    PIN_READING = "pin reading", "Pin read"
    BASE_REDUCED = "base reduced", "Base reduced at a site"
    HOLLOW_GROUND = "hollow-ground", "Tooth hollow-ground"
    TRIMMED = "cast trimmed", "Stone teeth cut and cast trimmed"
    TOOTH_SET = "tooth set", "Teeth set in wax"
    ARRANGED = "set otherwise", "Tooth set otherwise than the natural one"
    CUSP_HELD = "cusp in fossa", "Upper lingual cusp in its lower fossa"
    REDUCTION = "reduction", "Denture tooth reduced"
    PASS = "pass", "Pass with foil"
    PART_DONE = "part done", "Part of the set-up done"
    NOTE = "note", "Note"


class SetUpPart(TextChoices):
    POSTERIOR = "posterior", "Posterior teeth"
    ANTERIOR = "anterior", "Anterior teeth"


class Movement(TextChoices):
    """What the jaw does in a pass."""

    CENTRIC = "centric", "Centric"
    RIGHT = "right lateral", "Right lateral"
    LEFT = "left lateral", "Left lateral"
    PROTRUSIVE = "protrusive", "Protrusive"


class TryInOutcome(TextChoices):
    APPROVED = "approved", "Approved"
    APPROVED_WITH_CHANGES = "approved with changes", "Approved with changes"
    REDO = "redo", "Not approved: what is marked redo is made again"
    NEW_RECORD = "new record", "New record, mount again"
    WAIVED = "waived", "Waived by the dentist"
