"""The set-up log read back: parts done, last passes, and the vertical on the pin."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from labcases.domain.vertical import agreed_mm as agreed_mm
from labcases.enums import Movement, SetUpAct, SetUpPart
from labcases.models import Case, SetUpEntry

# A pin is read to half a millimetre or a little better (common practice, no source).
READING_TOLERANCE_MM = Decimal("0.05")


@dataclass(frozen=True)
class Balance:
    """Where the vertical stands: the last pin reading, from pin zero, against the agreed one."""

    reading_mm: Decimal | None
    agreed_mm: Decimal
    zero_mm: Decimal | None

    @property
    def from_zero_mm(self) -> Decimal | None:
        if self.reading_mm is None:
            return None
        return self.reading_mm - (self.zero_mm or Decimal("0"))

    @property
    def difference_mm(self) -> Decimal | None:
        return None if self.from_zero_mm is None else self.from_zero_mm - self.agreed_mm

    @property
    def balanced(self) -> bool:
        difference = self.difference_mm
        return difference is not None and abs(difference) <= READING_TOLERANCE_MM


def standing(case: Case) -> list[SetUpEntry]:
    """Entries that were not struck out, oldest first."""
    return [entry for entry in case.setup_entries.all() if entry.struck_at is None]


def parts_done(case: Case) -> dict[SetUpPart, SetUpEntry]:
    return {
        SetUpPart(entry.part): entry
        for entry in standing(case)
        if entry.act == SetUpAct.PART_DONE and entry.part
    }


def last_passes(case: Case) -> dict[Movement, SetUpEntry]:
    """The last pass with foil in each movement; earlier ones no longer count."""
    return {
        Movement(entry.movement): entry
        for entry in standing(case)
        if entry.act == SetUpAct.PASS and entry.movement
    }


def separable_base(case: Case) -> bool | None:
    """Whether the posterior base comes off the cast, as it was said last; nothing if it was not."""
    said = [entry.separable_base for entry in standing(case) if entry.separable_base is not None]
    return said[-1] if said else None


def cusps_held(case: Case) -> dict[str, bool]:
    """Tooth -> whether the upper lingual cusp is held in its fossa, by the last line of each."""
    return {
        tooth: bool(entry.as_wanted)
        for entry in standing(case)
        if entry.act == SetUpAct.CUSP_HELD
        for tooth in entry.teeth
    }


def taken_by(entry: SetUpEntry) -> dict[str, Decimal]:
    """What one line took off each denture tooth by grinding in; nothing by any other line."""
    if entry.act != SetUpAct.REDUCTION or entry.after_mm is None:
        return {}
    return dict.fromkeys(entry.teeth, entry.after_mm)


def balance(case: Case) -> Balance:
    """The last reading decides; openings and readings move it, nothing else does."""
    reading = None
    for entry in standing(case):
        if entry.act in (SetUpAct.PIN_OPENED, SetUpAct.PIN_READING) and entry.after_mm is not None:
            reading = entry.after_mm
    mounting = getattr(case, "mounting", None)
    return Balance(
        reading_mm=reading,
        agreed_mm=agreed_mm(case),
        zero_mm=mounting.pin_zero_mm if mounting else None,
    )
