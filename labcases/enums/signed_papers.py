"""What a paper with a dentist's signature says, and how far its typing has come."""

from django.db.models import TextChoices


class PaperSays(TextChoices):
    PRESCRIPTION = "prescription", "Prescription"
    SURGERY = "surgery day", "Surgery day confirmed"
    TRY_IN = "try-in", "Outcome of the try-in"
    WAIVER = "waiver of the try-in", "Waiver of the try-in"
    FINAL_WAX = "final wax", "Approval of final wax and trimming"
    GATE = "gate", "Going on without what is open"
    PROPOSAL = "proposal", "Answer to a proposal"
    DELIVERY = "delivery", "Surgery and delivery, as the office reports them"


class PaperState(TextChoices):
    TYPING = "being typed", "Being typed"
    WAITING = "to be confirmed", "Typed, to be confirmed by a second member"
    CONFIRMED = "confirmed", "Confirmed"
    GIVEN_UP = "given up", "Given up"


OPEN_PAPERS = (PaperState.TYPING, PaperState.WAITING)
