"""The remount after processing: what one line of its log says."""

from django.db.models import TextChoices


class RemountAct(TextChoices):
    """One line of the remount, in the usual order."""

    PIN_READ = "pin read", "Pin read after processing"
    CAUSE = "cause", "Cause of the rise"
    PASS = "pass", "Contacts after processing"
    REDUCTION = "reduction", "Denture tooth corrected"
    ACCEPTED = "accepted", "Rise accepted"
    INDEX_READ = "index read", "Read again on the index"
