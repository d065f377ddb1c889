"""How the stone teeth are cut from the cast that the front teeth are set on."""

from django.db.models import TextChoices


class TrimMethod(TextChoices):
    ONE_BY_ONE = "one by one", "One tooth at a time"
    ALTERNATE = "alternate", "Every second tooth"
    SIDE_FIRST = "side first", "One side of the arch first"
    ALL_AT_ONCE = "all at once", "All teeth at once"
    SOCKETED = "socketed", "Into the sockets, open face"
    POCKETS = "pocket depth", "To the depth of the pockets"
    STAGED = "staged", "In stages, from the gingival margin"
    THIRDS = "thirds", "By thirds of the labial height"
    SURGICAL = "surgical", "As the bone will be cut at surgery"
    OTHER = "other", "Another way"
