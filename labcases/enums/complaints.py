"""What came back about a denture: how grave it is, who told it, and what was done about it."""

from django.db.models import TextChoices


class Gravity(TextChoices):
    """How grave it is, in the words that the rules on reporting use."""

    COMPLAINT = "complaint", "Complaint, without serious harm"
    SERIOUS = "serious", "Serious: it led, or might have led, to serious harm"
    DEATH = "death", "Death, or serious harm to health that nobody expected"
    THREAT = "threat", "Serious threat to public health"


class Reporter(TextChoices):
    """Who told it first. Never a name: the patient is a code."""

    PATIENT = "patient", "The patient, through the office"
    DENTIST = "dentist", "The dentist"
    DESK = "desk", "Front desk of the office"
    LABORATORY = "laboratory", "The laboratory"
    SUPPLIER = "supplier", "A supplier or maker of a material"
    AUTHORITY = "authority", "An authority"
    OTHER = "other", "Somebody else"


class Concern(TextChoices):
    """What it is about."""

    DENTURE = "denture", "The denture"
    TEMPLATE = "template", "The surgical template"
    MATERIAL = "material", "A material or a lot"
    PAPER = "paper", "A paper or label that went with it"
    OTHER = "other", "Something else"


class ComplaintAct(TextChoices):
    """What one entry of a complaint says."""

    LOOKED = "looked", "Looked into"
    TOLD = "told", "Somebody was told"
    CLOSED = "closed", "Closed"
    AGAIN = "again", "Opened again"


class Outcome(TextChoices):
    """What it turned out to be (common practice, no source)."""

    NOTHING = "nothing", "Nothing wrong was found"
    MATERIAL = "material", "Fault of a material"
    MAKING = "making", "Fault in the making"
    DESIGN = "design", "Fault in what was prescribed or designed"
    USE = "use", "Use or wear"
    UNKNOWN = "unknown", "The cause was not found"
    MISTAKE = "mistake", "Entered by mistake"


class ComplaintState(TextChoices):
    """Where a complaint stands; told from its entries."""

    OPEN = "open", "Open"
    LOOKED = "looked into", "Looked into"
    CLOSED = "closed", "Closed"
