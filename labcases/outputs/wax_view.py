"""The final wax beside what was measured before extraction."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from labcases.domain import history
from labcases.models import Case, FinalWax, HistoryEntry, Prescription
from labcases.templatetags.units import mm

TOLERANCE_MM = Decimal("0.5")
"""How far wax and natural teeth may differ without a word (common practice, no source)."""

MEASURED = {
    "overjet_mm": "Overjet",
    "overbite_mm": "Overbite",
    "incisal_display_mm": "Incisal display",
    "midline_offset_mm": "Midline offset",
}

# Columns that an approval writes; a reader wants to know what else changed.
_OF_APPROVAL = ("approved_at", "approved_by", "approved_digest", "trimming_approved", "paper")


@dataclass(frozen=True)
class Compared:
    """One measurement on the natural teeth and in the wax."""

    label: str
    before_mm: Decimal | None
    wax_mm: Decimal | None

    @property
    def difference_mm(self) -> Decimal | None:
        if self.before_mm is None or self.wax_mm is None:
            return None
        return self.wax_mm - self.before_mm

    @property
    def within(self) -> bool | None:
        """Whether the difference is within tolerance; nothing when one side is missing."""
        difference = self.difference_mm
        return None if difference is None else abs(difference) <= TOLERANCE_MM

    @property
    def word(self) -> str:
        if self.before_mm is None:
            return "Not measured before extraction"
        if self.wax_mm is None:
            return "Not measured in wax"
        return "Within 0.5 mm" if self.within else "More than 0.5 mm apart"

    @property
    def glyph(self) -> str:
        return {None: "not yet", True: "done", False: "warning"}[self.within]


@dataclass(frozen=True)
class ChangedSince:
    """A save of the wax after the dentist had approved it."""

    entry: HistoryEntry
    changes: list[str]


def comparison(prescription: Prescription, wax: FinalWax | None) -> list[Compared]:
    """Every measurement, whether it was taken or not."""
    return [
        Compared(
            label=label,
            before_mm=getattr(prescription, name),
            wax_mm=getattr(wax, name) if wax else None,
        )
        for name, label in MEASURED.items()
    ]


def changed_since_approval(case: Case) -> list[ChangedSince]:
    """What was changed after the last approval, oldest first; nothing if none was given."""
    entries = list(case.history.filter(part="final wax").select_related("by").order_by("id"))
    last = max((n for n, row in enumerate(entries) if row.act == "approved"), default=None)
    if last is None:
        return []
    hidden = {history.label(FinalWax, name) for name in _OF_APPROVAL}
    return [
        ChangedSince(
            entry,
            [
                _change(label, before, after)
                for label, (before, after) in entry.changes.items()
                if label not in hidden
            ],
        )
        for entry in entries[last + 1 :]
    ]


def cautions(wax: FinalWax | None) -> list[dict[str, str]]:
    """What a dentist should see before approving, as findings with their source."""
    if wax is not None and wax.bone_change_planned and wax.template_wanted is False:
        return [
            {
                "code": "bone-without-template",
                "text": "A change of bone is planned and no surgical template is made: nothing "
                "shows at surgery how far the cast was cut. The dentist decides.",
                "source": "course text on immediate dentures, quoted",
            }
        ]
    return []


def _change(label: str, before: object, after: object) -> str:
    if label.endswith(" mm"):
        old, new = (mm(str(value)) if value else "empty" for value in (before, after))
        return f"{label.removesuffix(' mm')}: {old} → {new}"
    return f"{label}: {_plain(before)} → {_plain(after)}"


def _plain(value: object) -> str:
    if value is None or value == "":
        return "empty"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
