"""What a prescription asks for and a signature covers."""

from django.db.models import TextChoices


class Route(TextChoices):
    CONVENTIONAL = "conventional", "Conventional: posterior teeth out first, healing, then records"
    INTERIM = "interim", "Interim: all remaining teeth stay until surgery"


class SetUpOrder(TextChoices):
    POSTERIOR_FIRST = "posterior first", "Posterior teeth first, then anterior teeth"
    ANTERIOR_FIRST = "anterior first", "Anterior teeth first, then posterior teeth"


class Arch(TextChoices):
    UPPER = "upper", "Upper"
    LOWER = "lower", "Lower"


class ToothStatus(TextChoices):
    """A position of the arch that receives the denture."""

    LOST = "lost", "Already lost"
    EXTRACT_FIRST = "extract before records", "To be extracted before records"
    EXTRACT_AT_SURGERY = "extract at surgery", "To be extracted at surgery"
    STOP = "stop until surgery", "Kept as a stop until surgery, then extracted"
    STAYS = "stays", "Stays"


class OpposingTooth(TextChoices):
    """A position of the arch that the denture meets."""

    NATURAL = "natural", "Natural tooth"
    DENTURE = "denture", "Denture tooth"
    MISSING = "missing", "Missing"


class ToothMaterial(TextChoices):
    RESIN = "resin", "Resin"
    COMPOSITE = "composite", "Composite resin"
    PORCELAIN = "porcelain", "Porcelain"


class BaseMaterial(TextChoices):
    HEAT_CURED = "heat-cured resin", "Heat-cured resin"
    COLD_CURED = "cold-cured resin", "Cold-cured resin"
    INJECTED = "injection resin", "Injection resin"
    MILLED = "milled resin", "Milled resin"
    PRINTED = "printed resin", "Printed resin"


class Scheme(TextChoices):
    BALANCED = "balanced", "Balanced"
    LINGUALISED = "lingualised", "Lingualised"
    GROUP = "group", "Group function"
    CANINE = "canine", "Canine guidance"
    FLAT = "flat", "Flat (no cusps)"


class Allergy(TextChoices):
    NOT_ASKED = "not asked", "Not asked yet"
    NONE_KNOWN = "none known", "None known"
    LISTED = "listed", "Listed below"


class JawRecord(TextChoices):
    MAXIMUM_INTERCUSPATION = "maximum intercuspation", "Maximum intercuspation"
    CENTRIC_RELATION = "centric relation", "Centric relation"


class Flange(TextChoices):
    FULL = "full flange", "Full labial flange"
    PARTIAL = "partial flange", "Partial labial flange"
    SOCKETED = "socketed", "Open face, teeth set into the sockets"


class TryInWish(TextChoices):
    WANTED = "wanted", "Wanted"
    WAIVED = "waived", "Waived by the dentist"
    NOT_POSSIBLE = "not possible", "Not possible on this route"


class PrescriptionStatus(TextChoices):
    DRAFT = "draft", "Draft"
    SIGNED = "signed", "Signed"
    REPLACED = "replaced", "Replaced by a later revision"
