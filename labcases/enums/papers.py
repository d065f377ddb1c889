"""Papers that are printed, and pictures that are kept."""

from django.db.models import TextChoices


class PaperKind(TextChoices):
    """Two capitals that stand in a paper's code."""

    LAB_SLIP = "LS", "Lab slip"
    TRY_IN = "TI", "Posterior try-in checklist"
    FINAL_WAX = "FW", "Final-wax checklist"
    SET_UP = "SU", "Height budget and set-up"
    HANDOFF = "PH", "Processing handoff"
    REMOUNT = "RM", "Remount sheet"
    STATEMENT = "DS", "Device statement"
    DELIVERY = "RD", "Release and delivery"
    AFTER_CARE = "AC", "After-care sheet"
    INCIDENT = "IN", "Incident sheet"
    BOX_LABEL = "BL", "Box label"
    CAST_LABEL = "CL", "Cast label"
    PROPOSALS = "PD", "Proposals to the dentist"
    NATURAL_TEETH = "NT", "Mark-up of natural teeth"


class AttachmentKind(TextChoices):
    """What is shown on the page of photographs and papers."""

    PHOTOGRAPH = "photograph", "Photograph"
    FINAL_WAX = "final wax", "Final wax"
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
