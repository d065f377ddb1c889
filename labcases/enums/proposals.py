"""What the laboratory proposes to the dentist, on what it rests, and what became of it."""

from django.db.models import TextChoices


class ProposalKind(TextChoices):
    SETTING = "setting", "Change of a setting"
    REDUCTION = "reduction", "Reduction beyond the budget"
    NATURAL = "natural tooth", "Natural tooth as the place of a finding"
    VERTICAL = "vertical", "New vertical"
    ARRANGEMENT = "arrangement", "Deviation from the natural arrangement"


class ProposalState(TextChoices):
    WAITING = "waiting", "Waits for the dentist"
    YES = "yes", "Yes"
    NO = "no", "No"
    CHANGE = "change", "Yes, with a change"
    WITHDRAWN = "withdrawn", "Withdrawn"


ANSWERS = (ProposalState.YES, ProposalState.NO, ProposalState.CHANGE)
CARRIED_OUT = (ProposalState.YES, ProposalState.CHANGE)


class ProposalBasis(TextChoices):
    """What a change of a setting rests on."""

    CHECK_RECORD = "check record", "A check record says so"
    MARKS = "marks", "It explains the marks"
    INSTRUMENT = "instrument limit", "The instrument cannot be set to it"
    OTHER = "other", "Something else"
