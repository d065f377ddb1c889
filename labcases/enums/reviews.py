"""What is recorded after delivery: a review, what it brought, a clinical remount, a decision."""

from django.db.models import TextChoices


class ReviewAct(TextChoices):
    """What one line of the reviews says."""

    SEEN = "seen", "Review"
    SPOT = "spot", "Pressure spot"
    LINER = "liner", "Liner placed or taken out"
    RECORD = "record", "Record in the mouth"
    MOUNTED = "mounted", "Mounted on the record"
    PASS = "pass", "Contacts"
    REDUCTION = "reduction", "Denture tooth adjusted"
    DECISION = "decision", "Decision"
    DONE = "done", "Reline or rebase done"


class Decision(TextChoices):
    """What the dentist decides about the denture."""

    WAIT = "wait", "Leave it as it is"
    RELINE = "reline", "Reline"
    REBASE = "rebase", "Rebase"
    REMAKE = "remake", "Remake"
