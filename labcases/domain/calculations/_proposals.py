"""What one way of reading check records proposes, value by value."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field

from labcases.models import CheckRecord
from occlusion import curves
from occlusion.ranges import LIMITS, EngineWarning

READING_SD_MM = 0.1
"""How well callipers or a point gauge read a point (common practice, no source)."""

SIDES = ("right", "left")

APART = 2.0
"""Readings further apart than this many deviations disagree (common practice, no source)."""

NONE_READ = "None of these records can be read, so nothing is proposed."


@dataclass(frozen=True)
class ProposedValue:
    """One setting that records tell; ``refusal`` says why it cannot be adopted."""

    field: str
    value: float
    sd: float
    usual: tuple[float, float]
    refusal: str = ""

    @property
    def can_be_adopted(self) -> bool:
        return not self.refusal


@dataclass(frozen=True)
class NotRead:
    """A standing record that the proposal leaves out, and why it cannot be read."""

    record: CheckRecord
    why: str


@dataclass(frozen=True)
class RecordProposal:
    """What one way of reading the records says, or why it says nothing.

    ``not_read`` holds the records that the values do without.

    ``travel_mm`` is the travel of each record by its movement, ``estimates_deg`` the textbook
    estimate of the Bennett angle by condyle. ``digest`` names exactly these values.
    """

    method: str
    values: tuple[ProposedValue, ...] = ()
    travel_mm: dict[str, float] = field(default_factory=dict)
    estimates_deg: dict[str, float] = field(default_factory=dict)
    warnings: tuple[EngineWarning, ...] = ()
    assumptions: tuple[str, ...] = ()
    refusal: str = ""
    not_read: tuple[NotRead, ...] = ()

    @property
    def digest(self) -> str:
        text = json.dumps([self.method, [asdict(value) for value in self.values]])
        return hashlib.sha256(text.encode()).hexdigest()


def valued(name: str, limit: str, value: float, sd: float) -> ProposedValue:
    row = LIMITS[limit]
    refusal = ""
    if not row.hard_low <= round(value, 1 if row.unit == "deg" else 2) <= row.hard_high:
        refusal = f"No articulator is set to it: {row.hard_low:g} to {row.hard_high:g} {row.unit}."
    return ProposedValue(name, value, sd, (row.usual_low, row.usual_high), refusal)


def estimates(values: Iterable[ProposedValue]) -> dict[str, float]:
    """The textbook estimate of the Bennett angle for each inclination that was read."""
    return {
        side: curves.lateral_inclination_estimate_deg(condylar_inclination_deg=value.value)
        for side in SIDES
        for value in values
        if value.field == f"condylar_{side}_deg"
    }
