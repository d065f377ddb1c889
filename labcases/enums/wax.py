"""What is decided of the final wax before anything is flasked."""

from django.db.models import TextChoices


class WaxList(TextChoices):
    """The two checklists."""

    TEETH = "teeth", "Teeth"
    BASE = "base", "Base"


class WaxAnswer(TextChoices):
    YES = "yes", "Yes"
    NO = "no", "No"
    NOT_ASKED = "not asked", "Not asked for here"


class Undercut(TextChoices):
    """What is done about undercuts of the ridge."""

    NONE = "none", "None that holds the base"
    RELIEVED = "relieved", "Relieved on the cast"
    PASSED = "passed", "Kept, and passed along the path of insertion"
    BOTH = "both", "Some relieved, some passed"


class Insertion(TextChoices):
    """Along which path the denture goes in."""

    STRAIGHT = "straight", "Straight, along the teeth"
    FRONT = "front first", "Front first, then the back is turned up"
    BACK = "back first", "Back first, then the front is turned up"
    SIDE = "one side first", "One side first"
