"""The wax beside what is on record of the patient's own front teeth.

Front teeth cannot be tried, so the wax is judged by photographs and these millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from labcases.enums import TryInOutcome
from labcases.models import Case, FinalWax, TryIn

TOLERANCE_MM = Decimal("0.5")
"""How far wax and record may differ without a word (common practice, no source)."""

LABELS = {
    "overjet_mm": "Overjet",
    "overbite_mm": "Overbite",
    "incisal_display_mm": "Incisal display",
    "midline_offset_mm": "Midline offset",
    "central_length_mm": "Length of the central incisor",
}
#: What a try-in reads again on the patient's own teeth, and what the patient wants added to it.
AT_TRY_IN = {"incisal_display_mm": "display_rest_mm", "midline_offset_mm": "midline_mm"}
CHANGED_BY = {"incisal_display_mm": "length_change_mm"}


@dataclass(frozen=True)
class Compared:
    """One measurement on record and in the wax. ``words`` say why it differs as prescribed."""

    field: str
    label: str
    before_mm: Decimal | None
    source: str
    change_mm: Decimal
    wax_mm: Decimal | None
    words: str

    @property
    def wanted_mm(self) -> Decimal | None:
        """What the wax should show: the record, and the change that is wanted."""
        return None if self.before_mm is None else self.before_mm + self.change_mm

    @property
    def difference_mm(self) -> Decimal | None:
        if self.wanted_mm is None or self.wax_mm is None:
            return None
        return self.wax_mm - self.wanted_mm

    @property
    def within(self) -> bool | None:
        """Whether the difference is within tolerance; nothing when one side is missing."""
        difference = self.difference_mm
        return None if difference is None else abs(difference) <= TOLERANCE_MM

    @property
    def explained(self) -> bool:
        return self.within is not False or bool(self.words)

    @property
    def word(self) -> str:
        if self.before_mm is None:
            return "Not on record"
        if self.wax_mm is None:
            return "Not measured in wax"
        if self.within:
            return "Within 0.5 mm"
        return "As prescribed" if self.words else "More than 0.5 mm apart"

    @property
    def glyph(self) -> str:
        if self.within is None:
            return "not yet"
        return "done" if self.within or self.words else "warning"


def compared(case: Case, wax: FinalWax | None) -> list[Compared]:
    """Every measurement, whether it was taken or not."""
    return list(_compared(case, wax))


def _compared(case: Case, wax: FinalWax | None) -> Iterator[Compared]:
    row = case.prescription
    tried = _tried(case)
    words = wax.as_prescribed if wax else {}
    for name, label in LABELS.items():
        before, source = getattr(row, name), f"prescription R{row.revision:02d}"
        again = getattr(tried, AT_TRY_IN[name]) if tried and name in AT_TRY_IN else None
        if tried and again is not None:
            before, source = again, f"try-in {tried.number}"
        change = getattr(tried, CHANGED_BY[name]) if tried and name in CHANGED_BY else None
        yield Compared(
            field=name,
            label=label,
            before_mm=before,
            source=source if before is not None else "",
            change_mm=change or Decimal(0),
            wax_mm=getattr(wax, name) if wax else None,
            words=words.get(name, ""),
        )


def _tried(case: Case) -> TryIn | None:
    """The last try-in at which somebody looked, whatever came of it."""
    looked = [
        row for row in case.try_ins.all() if row.outcome and row.outcome != TryInOutcome.WAIVED
    ]
    return looked[-1] if looked else None
