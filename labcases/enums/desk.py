"""What the desk says of a case: the list that it stands in, and what it is."""

from django.db.models import TextChoices


class DeskSection(TextChoices):
    """A list of the desk; the key stands in its address."""

    DAYS = "days", "Days"
    LATE = "late", "Late"
    MISSED = "missed", "Certain to be missed"
    AT_RISK = "at-risk", "At risk"
    MOVED = "moved", "Booked and moved dates"
    TEETH = "teeth", "Teeth awaited"
    BOXES_OVERDUE = "boxes-overdue", "Boxes overdue"
    BOXES_GONE = "boxes-gone", "Boxes lost or not ours"
    WAITS_OFFICE = "waits-office", "Waits for the office"
    WAITS_LABORATORY = "waits-laboratory", "Waits for the laboratory"
    ON_HOLD = "on-hold", "On hold"
    BOXES_LABORATORY = "boxes-laboratory", "Boxes on the way to the laboratory"
    BOXES_OFFICE = "boxes-office", "Boxes on the way to the office"
    NOT_CONFIRMED = "not-confirmed", "Surgery day not confirmed"
    NO_DAY = "no-day", "No surgery day yet"


class DeskKind(TextChoices):
    """What a line of the desk is about, from which its words are made."""

    SURGERY = "surgery", "Surgery and delivery"
    APPOINTMENT = "appointment", "Appointment"
    REVIEW = "review", "Review"
    LATEST = "latest", "Latest day"
    LATE = "late", "Late"
    AT_RISK = "at risk", "At risk"
    MISSED = "missed", "Certain to be missed"
    MOVED = "moved", "Date moved"
    QUESTION = "question", "Question"
    PROPOSAL = "proposal", "Proposal"
    REVIEW_DUE = "review due", "Review due"
    REVIEW_OVERDUE = "review overdue", "Review overdue"
    LINER = "liner", "Liner past its days"
    RELINE = "reline", "Reline decided"
    WAX = "final wax", "Final wax to be approved"
    TRIMMING = "trimming", "Trimming to be approved again"
    UNREPORTED = "unreported", "Delivered, not reported"
    STAGE = "stage", "Stage"
    ON_HOLD = "on hold", "On hold"
    NOT_CONFIRMED = "not confirmed", "Surgery day not confirmed"
    NO_DAY = "no day", "No surgery day yet"
    TEETH_LATE = "teeth late", "Teeth too late for the set-up"
    TEETH_OVERDUE = "teeth overdue", "Teeth overdue"
    BOX = "box", "Box on the way"
    BOX_OVERDUE = "box overdue", "Box overdue"
    BOX_GONE = "box gone", "Box lost or not ours"
