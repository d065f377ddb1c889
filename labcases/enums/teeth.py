"""Where the teeth of a case come from, and whether they are here."""

from django.db.models import TextChoices


class TeethFrom(TextChoices):
    STOCK = "stock", "From stock"
    ORDER = "order", "Ordered"
    HERE = "here", "Here, not from stock"


class TeethState(TextChoices):
    ORDERED = "ordered", "Ordered"
    IN_HAND = "in hand", "In hand"
    SET_ASIDE = "set aside", "Set aside"
    PUT_BACK = "put back", "Put back"
    NOT_USED = "not used", "Not used"
    CANCELLED = "cancelled", "Order cancelled"


class StockAct(TextChoices):
    """What a line of the stock's log says."""

    ADDED = "added", "Added"
    COUNTED = "counted", "Counted"
    CHANGED = "changed", "Changed"
    TAKEN = "taken", "Taken"
    PUT_BACK = "put back", "Put back"
    IMPORTED = "imported", "From a file"
