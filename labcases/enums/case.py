"""Where a case stands, who it waits for, and its dates."""

from django.db.models import TextChoices


class Stage(TextChoices):
    DRAFT = "draft", "Draft"
    SENT = "sent", "Sent"
    ACCEPTED = "accepted", "Accepted"
    TRAY = "tray", "Tray"
    MASTER_CAST = "master cast and rims", "Master cast and rims"
    JAW_RECORDS = "jaw records", "Jaw records"
    MOUNTING = "mounting", "Mounting"
    SETTINGS = "settings", "Settings"
    SET_UP = "set-up", "Set-up"
    TRY_IN = "try-in", "Try-in"
    FINAL_WAX = "final wax", "Final wax"
    PROCESSING = "processing", "Processing"
    REMOUNT = "remount", "Remount"
    FINISHING = "finishing", "Finishing"
    RELEASED = "released", "Released"
    DISPATCHED = "dispatched", "Dispatched"
    RECEIVED = "received", "Received"
    DELIVERED = "delivered", "Delivered"
    IN_REVIEW = "in review", "In review"
    CLOSED = "closed", "Closed"
    DECLINED = "declined", "Declined"
    CANCELLED = "cancelled", "Cancelled"


# Before anything was delivered, as a rule; a delivered case is closed.
ENDED_EARLY = (Stage.DECLINED, Stage.CANCELLED)
ENDS = (Stage.CLOSED, *ENDED_EARLY)


class Side(TextChoices):
    """Who a question or a missing thing waits for."""

    OFFICE = "office", "Office"
    LABORATORY = "laboratory", "Laboratory"


class EntryKind(TextChoices):
    """What a person says in the thread of a question."""

    ANSWER = "answer", "Answer"
    AGAIN = "asked again", "Asked again"
    REMARK = "remark", "Remark"
    REVISION = "revision", "Revision begun"


class AppointmentKind(TextChoices):
    RECORDS = "jaw records", "Jaw records"
    TRY_IN = "try-in", "Try-in"
    DELIVERY = "delivery to the office", "Delivery to the office"
    REVIEW = "review", "Review"


class AppointmentStatus(TextChoices):
    PROPOSED = "proposed", "Proposed"
    BOOKED = "booked", "Booked"
    DONE = "done", "Done"
    DROPPED = "dropped", "Dropped"
