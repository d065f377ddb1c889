"""Rows of the plan, and the work and the roads that lie between them."""

from django.db.models import TextChoices

from labcases.enums.case import Stage


class Work(TextChoices):
    """What takes working days between two rows of the plan; each house has its own of them."""

    IMPRESSION = "impression", "Taking in the impression"
    TRAY = "tray", "Custom tray"
    MASTER_CAST = "master cast", "Master cast, base and rim"
    RECORDS = "jaw records", "Jaw records at the office"
    MOUNTING = "mounting", "Mounting and settings"
    POSTERIOR = "posterior teeth", "Posterior set-up"
    TRY_IN = "try-in", "Try-in at the office"
    ANTERIOR = "anterior teeth", "Trimming of the cast and anterior set-up"
    WAX = "final wax", "Final wax and its approval"
    PROCESSING = "processing", "Processing, remount and finishing"
    ARRIVAL = "arrival", "Between arrival at the office and surgery"
    ROAD = "road", "On the road"


OFFICE_WORK = (Work.RECORDS, Work.TRY_IN, Work.ARRIVAL)
"""Work of the office; the road is of both houses, everything else of the laboratory."""


class Step(TextChoices):
    """A row of the plan: a stage that is entered, or a thing that begins inside one."""

    PRIMARY = "primary impression", "Primary impression"
    TRAY = "tray", "Tray"
    SENT = "sent", "Sent"
    MASTER_CAST = "master cast and rims", "Master cast and rims"
    JAW_RECORDS = "jaw records", "Jaw records"
    MOUNTING = "mounting", "Mounting"
    SET_UP = "set-up", "Set-up"
    POSTERIOR = "posterior teeth", "Posterior teeth"
    TRY_IN = "try-in", "Try-in"
    ANTERIOR = "anterior teeth", "Anterior teeth"
    FINAL_WAX = "final wax", "Final wax"
    PROCESSING = "processing", "Processing"
    DISPATCHED = "dispatched", "Dispatched"
    RECEIVED = "received", "Received"

    @property
    def stage(self) -> Stage | None:
        """The stage that is entered; nothing for what begins inside one or before it."""
        return Stage(self.value) if self.value in Stage.values else None


FOR_A_TRAY = (Step.PRIMARY, Step.TRAY)
"""Rows that matter only where a custom tray is made."""
