"""Every choice that a record can hold, in the words of the trade.

The stored value is the word that stands on screens and papers, so that a dump of
the database can be read without this file.
"""

from django.db.models import TextChoices


class OrganisationKind(TextChoices):
    OFFICE = "office", "Office"
    LABORATORY = "laboratory", "Laboratory"
    BOTH = "both", "Office and laboratory"


class Role(TextChoices):
    """What a membership makes of a person inside one organisation."""

    DENTIST = "dentist", "Dentist"
    FRONT_DESK = "front desk", "Front desk"
    TECHNICIAN = "technician", "Technician"
    MANAGER = "laboratory manager", "Laboratory manager"


class Position(TextChoices):
    """Where a person stands towards one case: the columns of the access table."""

    DENTIST = "dentist", "dentist"
    OFFICE_DESK = "office desk", "office front desk"
    TECHNICIAN = "technician", "technician"
    LAB_DESK = "laboratory desk", "laboratory front desk"
    LAB_MANAGER = "laboratory manager", "laboratory manager"


class Notation(TextChoices):
    ISO_3950 = "ISO 3950", "ISO 3950 (two digits)"
    UNIVERSAL = "Universal", "Universal (1 to 32)"


class PaperSize(TextChoices):
    A4 = "A4", "A4"
    LETTER = "Letter", "Letter"


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


ENDS = (Stage.CLOSED, Stage.DECLINED, Stage.CANCELLED)


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


class BoxDirection(TextChoices):
    TO_LABORATORY = "to the laboratory", "To the laboratory"
    TO_OFFICE = "to the office", "To the office"


class BoxContent(TextChoices):
    IMPRESSION = "impression", "Impression"
    CAST = "cast", "Cast"
    JAW_RECORD = "jaw record", "Jaw record"
    FACE_BOW = "face-bow record", "Face-bow record"
    RIM = "rim", "Record base with rim"
    TRAY = "tray", "Tray"
    WAX_SET_UP = "wax set-up", "Wax set-up"
    DENTURE = "denture", "Denture"
    TEMPLATE = "template", "Surgical template"
    PHOTOGRAPHS = "photographs", "Photographs"


class RecordKind(TextChoices):
    """Which relation of the jaws a record holds."""

    MAXIMUM_INTERCUSPATION = "maximum intercuspation", "Maximum intercuspation"
    CENTRIC_RELATION = "centric relation", "Centric relation"
    PROTRUSIVE = "protrusive", "Protrusive"
    RIGHT = "right lateral", "Right lateral"
    LEFT = "left lateral", "Left lateral"


class CastKind(TextChoices):
    STUDY = "study", "Study cast"
    MASTER = "master", "Master cast"
    WORKING = "working", "Working cast"
    OPPOSING = "opposing", "Opposing cast"
    DUPLICATE = "duplicate", "Duplicate"
    TRIMMED = "trimmed", "Trimmed cast"


class CastState(TextChoices):
    """What an inspection says of a cast."""

    GOOD = "good", "Good"
    MENDED = "mended", "Mended"
    BROKEN = "broken", "Broken: a new one is needed"


class PieceKind(TextChoices):
    """What is made on a cast before teeth are set."""

    TRAY = "custom tray", "Custom tray"
    BASE = "record base", "Record base"
    RIM = "rim", "Record base with rim"


class TransferMethod(TextChoices):
    ARBITRARY = "arbitrary face-bow", "Arbitrary face-bow"
    KINEMATIC = "kinematic face-bow", "Kinematic face-bow"
    AVERAGE = "average values", "Average values, no transfer"


class Verification(TextChoices):
    FOIL = "foil", "Foil held at spread points (maximum intercuspation)"
    SECOND_RECORD = "second record", "Second record agrees"
    SPLIT_CAST = "split cast", "Split cast closes"


class ReturnTo(TextChoices):
    """Where a mounting that is not right is sent back to."""

    NEW_MOUNTING = "new mounting", "New mounting"
    NEW_RECORD = "new record", "New jaw record"


class TableMember(TextChoices):
    UPPER = "upper", "Upper member"
    LOWER = "lower", "Lower member"


class FrontGuide(TextChoices):
    TABLE = "table", "The incisal table"
    STONE_TEETH = "stone teeth", "Stone front teeth"
    DENTURE_TEETH = "denture teeth", "Planned denture front teeth"


class ReferencePlane(TextChoices):
    AXIS = "axis plane", "Axis plane of the articulator"
    CAMPER = "ala-tragus plane", "Ala-tragus plane"
    OCCLUSAL = "occlusal plane", "Occlusal plane"


class SettingsOrigin(TextChoices):
    PRESCRIBED = "prescribed", "Prescribed by the dentist"
    RECORDS = "check records", "From check records"
    AVERAGE = "average", "Average values"


class CheckRecordKind(TextChoices):
    """What a check record was read as: points of the lower cast, or the gap behind."""

    CLOSED = "closed", "Points with the casts closed"
    PROTRUSIVE = "protrusive", "Points in a protrusive record"
    RIGHT = "right lateral", "Points in a right lateral record"
    LEFT = "left lateral", "Points in a left lateral record"
    GAP = "posterior gap", "Posterior gap in a protrusive record"


class SpaceFrom(TextChoices):
    HEALED_RIDGE = "healed ridge", "Healed ridge"
    TRIM_LINE = "planned trim line", "Planned trim line"
    TUBEROSITY = "tuberosity", "Tuberosity"


class SetUpAct(TextChoices):
    """One line of the set-up log."""

    BASE_ADAPTED = "base adapted", "Base adapted and sealed"
    PIN_OPENED = "pin opened", "Pin opened"
    PIN_READING = "pin reading", "Pin read"
    BASE_REDUCED = "base reduced", "Base reduced at a site"
    HOLLOW_GROUND = "hollow-ground", "Tooth hollow-ground"
    TOOTH_SET = "tooth set", "Teeth set in wax"
    REDUCTION = "reduction", "Denture tooth reduced"
    PASS = "pass", "Pass with foil"
    PART_DONE = "part done", "Part of the set-up done"
    NOTE = "note", "Note"


class SetUpPart(TextChoices):
    POSTERIOR = "posterior", "Posterior teeth"
    ANTERIOR = "anterior", "Anterior teeth"


class Movement(TextChoices):
    """What the jaw does in a pass."""

    CENTRIC = "centric", "Centric"
    RIGHT = "right lateral", "Right lateral"
    LEFT = "left lateral", "Left lateral"
    PROTRUSIVE = "protrusive", "Protrusive"


class TryInOutcome(TextChoices):
    APPROVED = "approved", "Approved"
    APPROVED_WITH_CHANGES = "approved with changes", "Approved with changes"
    NEW_RECORD = "new record", "New record, mount again"
    WAIVED = "waived", "Waived by the dentist"


class TrimMethod(TextChoices):
    ONE_BY_ONE = "one by one", "One tooth at a time"
    ALTERNATE = "alternate", "Every second tooth"
    ALL_AT_ONCE = "all at once", "All teeth at once"


class CheckKind(TextChoices):
    CLEARANCE = "clearance", "Clearance check"
    HEIGHT = "height budget", "Height budget"


class PaperKind(TextChoices):
    """Two capitals that stand in a paper's code."""

    LAB_SLIP = "LS", "Lab slip"
    TRY_IN = "TI", "Posterior try-in checklist"
    HANDOFF = "PH", "Processing handoff"


class AttachmentKind(TextChoices):
    """What is shown on the page of photographs and papers."""

    PHOTOGRAPH = "photograph", "Photograph"
    PRESCRIPTION = "paper prescription", "Paper prescription, signed"
    PAPER = "paper", "Another paper"


class PhotographView(TextChoices):
    """What a photograph shows. Right and left are the patient's."""

    FACE = "face", "Face"
    SMILE = "smile", "Smile"
    PROFILE = "profile", "Profile"
    FRONT = "intraoral front", "Teeth from in front"
    RIGHT = "intraoral right", "Teeth from the right"
    LEFT = "intraoral left", "Teeth from the left"
    CAST = "cast", "Cast"
    OTHER = "other", "Something else"
