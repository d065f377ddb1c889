"""Which sets of teeth a case needs, what is in hand of them, and what is not as approved."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from labcases import notation
from labcases.domain import calendars, open_days, stock, teeth
from labcases.enums import Arch, SetUpPart, ToothMaterial
from labcases.enums.teeth import TeethState
from labcases.models import Case, TeethSupply, ToothSelection
from labcases.models.tooth_orders import STANDING
from labcases.templatetags.units import long_date

#: What is compared with what was approved, and how a question about it names it.
COMPARED = {"shade": "the shade", "mould": "the mould", "material": "the tooth material"}


@dataclass(frozen=True)
class Need:
    """One set that a case needs: a part of its arch, and the positions to be set."""

    arch: Arch
    part: SetUpPart
    teeth: tuple[str, ...]

    @property
    def key(self) -> str:
        return f"{self.arch}-{self.part}"

    @property
    def words(self) -> str:
        return f"{self.arch} {self.part} teeth"


def needed(case: Case) -> list[Need]:
    """The sets that the prescription's arch and chart ask for, the anterior one first."""
    row = case.prescription
    found = []
    for part in (SetUpPart.ANTERIOR, SetUpPart.POSTERIOR):
        wanted = tuple(
            tooth
            for tooth in teeth.replaced(row)
            if notation.is_posterior(tooth) == (part == SetUpPart.POSTERIOR)
        )
        if wanted:
            found.append(Need(Arch(row.arch), part, wanted))
    return found


def need_of(case: Case, key: str) -> Need | None:
    return next((need for need in needed(case) if need.key == key), None)


def standing(case: Case) -> list[TeethSupply]:
    """Rows that count for the case, sets and single teeth."""
    return [row for row in case.tooth_supplies.all() if row.state in STANDING]


def set_of(case: Case, need: Need) -> TeethSupply | None:
    """The set that stands for a need, ordered or here."""
    return next(
        (
            row
            for row in standing(case)
            if (row.arch, row.part, row.tooth) == (need.arch, need.part, "")
        ),
        None,
    )


def set_aside_rows(case: Case) -> list[TeethSupply]:
    """Teeth that were set aside, for another revision or by a report, and wait for a word."""
    return [row for row in case.tooth_supplies.all() if row.state == TeethState.SET_ASIDE]


def expected_on(row: TeethSupply) -> date | None:
    """The day on which an order should be here, by the open days of the laboratory."""
    if row.state != TeethState.ORDERED or row.ordered_on is None or row.lead_days is None:
        return None
    bench = calendars.calendar_of(row.case.laboratory)
    return open_days.ahead(row.ordered_on, row.lead_days, bench)


# -- what is missing --------------------------------------------------------------------------


@dataclass(frozen=True)
class Gap:
    """A need, or a single tooth of it, that is not in hand, in a sentence."""

    need: Need
    text: str


def gaps(case: Case) -> list[Gap]:
    """Everything that is not in hand of what the case needs."""
    found = []
    for need in needed(case):
        row = set_of(case, need)
        if text := _gap(need, row):
            found.append(Gap(need, text))
        found += [
            Gap(need, f"Tooth {one.tooth} is {on_its_way(one)}.")
            for one in standing(case)
            if one.tooth in need.teeth and one.state == TeethState.ORDERED
        ]
    return found


def _gap(need: Need, row: TeethSupply | None) -> str:
    name = f"The {need.words} ({len(need.teeth)})"
    if row is None:
        return (
            f"{name} are not in hand. Take them from stock, order them, or say that they are here."
        )
    if row.state == TeethState.ORDERED:
        return f"{name} are {on_its_way(row)}."
    if row.counted is not None and row.counted < len(need.teeth):
        return f"Of the {need.words} {row.counted} of {len(need.teeth)} are here."
    return ""


def on_its_way(row: TeethSupply) -> str:
    """What is said of an order that has not come."""
    expected = expected_on(row)
    said = "ordered and not here" + (f", expected {long_date(expected)}" if expected else "")
    return f"{said}; reported as not to be had yet" if row.held_up else said


def in_hand(case: Case) -> bool:
    """Whether every set that the case needs is here and complete."""
    return bool(needed(case)) and not gaps(case)


def lots(case: Case) -> str:
    """The lots of the teeth in hand, as papers print them; nothing when none is entered."""
    said = []
    for row in standing(case):
        if row.state == TeethState.IN_HAND and row.lot:
            said.append(f"{row.tooth or row.get_part_display().lower()} {row.lot}")
    return ", ".join(said)


# -- against what was approved ----------------------------------------------------------------


def chosen_of(case: Case) -> ToothSelection | None:
    """The selection as it is stored; a page may hold a new one beside the case."""
    row: ToothSelection | None = getattr(case, "selection", None)
    return row if row and row.pk else None


def wanted(case: Case, part: str) -> dict[str, str]:
    """Shade and material as prescribed, and the mould as it was chosen; empty where not said."""
    prescribed = case.prescription
    chosen = chosen_of(case)
    mould = getattr(chosen, f"{part}_mould", "") if chosen else ""
    shade = prescribed.shade or (chosen.shade if chosen else "")
    material = prescribed.tooth_material or (chosen.material if chosen else "")
    return {"shade": str(shade), "mould": str(mould), "material": str(material)}


def differing(case: Case, part: str, values: Mapping[str, Any]) -> dict[str, tuple[str, str]]:
    """What of these teeth is not as approved: field -> (approved, these)."""
    return {
        name: (_shown(name, asked), _shown(name, str(values.get(name) or "")))
        for name, asked in wanted(case, part).items()
        if asked and _folded(asked) != _folded(str(values.get(name) or ""))
    }


def _folded(text: str) -> str:
    return stock.tidy(text).casefold()


def _shown(name: str, value: str) -> str:
    if name == "material" and value in ToothMaterial.values:
        return ToothMaterial(value).label.lower()
    return value or "not said"


# -- words ------------------------------------------------------------------------------------


def in_words(row: TeethSupply) -> str:
    """What a row says, for its line on the page and for the history."""
    said: Iterable[object] = (
        row.get_source_display().lower(),
        row.line,
        row.mould and f"mould {row.mould}",
        row.shade and f"shade {row.shade}",
        row.material and row.get_material_display().lower(),
        row.lot and f"lot {row.lot}",
        row.supplier and f"from {row.supplier}",
        row.ordered_on and f"ordered {long_date(row.ordered_on)}",
        row.lead_days is not None and f"{row.lead_days} working days",
        row.held_up and f"not to be had yet: {row.held_up}",
        row.arrived_on and f"arrived {long_date(row.arrived_on)}",
        row.differences and f"differs: {row.differences}",
    )
    text = ", ".join(str(part) for part in said if part)
    return text[:1].upper() + text[1:]
