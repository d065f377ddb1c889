"""What a calendar feed holds, and how an entry of it stands."""

from django.db.models import TextChoices


class FeedKind(TextChoices):
    RECORDS = "jaw records", "Jaw records"
    TRY_IN = "try-in", "Try-in"
    SURGERY = "surgery", "Surgery"
    DELIVERY = "delivery", "Delivery to the office"
    REVIEW = "review", "Reviews"
    LATEST = "latest days", "Latest days of the plan"


class EntryStatus(TextChoices):
    """STATUS of an event in RFC 5545, 3.8.1.11; the stored value in capitals is its word."""

    TENTATIVE = "tentative", "Tentative"
    CONFIRMED = "confirmed", "Confirmed"
    CANCELLED = "cancelled", "Cancelled"
