"""The trimming of the cast as screen and papers show it, tooth by tooth."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from labcases.domain import trimming
from labcases.domain.trimming import Flag
from labcases.enums import Arch
from labcases.models import Case, SetUpEntry
from labcases.reference import trimming as reference
from labcases.templatetags.units import long_time, tooth, tooth_number


@dataclass(frozen=True)
class TrimRow:
    """What is gone at one tooth; ``open`` says what it could not be held against."""

    place: int
    tooth: str
    how: str
    labial_mm: Decimal
    crest_mm: Decimal | None
    palatal_mm: Decimal | None
    apical_third: bool
    flags: tuple[Flag, ...]
    open: str
    by: str


def build_context(case: Case, notation: str) -> dict[str, Any]:
    """``trim_rows`` in the order of removal, what is flagged of the case, and what is not cut."""
    told = trimming.of(case)
    return {
        "trim_rows": [
            TrimRow(
                place=row.place,
                tooth=tooth(row.tooth, notation),
                how=row.how,
                labial_mm=row.labial_mm,
                crest_mm=row.crest_mm,
                palatal_mm=row.palatal_mm,
                apical_third=row.apical_third,
                flags=row.flags,
                open=row.open,
                by=str(row.entry.by),
            )
            for row in told.teeth
        ],
        "trim_flags": told.flags,
        "trim_not_yet": " ".join(tooth_number(tooth, notation) for tooth in told.not_yet),
        "trim_inner": "Palatal" if case.prescription.arch == Arch.UPPER else "Lingual",
    }


def in_words(case: Case, notation: str) -> list[str]:
    """What is gone from the cast, for papers: teeth that were cut alike in one line.

    With more than one line the order of removal stands before them.
    """
    rows = trimming.of(case).teeth
    alike: dict[str, list[str]] = {}
    for row in rows:
        said = f"{row.how.lower()}; {trimming.depths(row, case.prescription.arch)}"
        alike.setdefault(said, []).append(tooth_number(row.tooth, notation))
    lines = [f"{', '.join(teeth)}: {said}" for said, teeth in alike.items()]
    order = ", ".join(tooth_number(row.tooth, notation) for row in rows)
    if len(lines) > 1:
        return [f"Order of removal: {order}", *lines]
    return [f"In the order of removal: {line}" for line in lines]


def told(lines: Iterable[SetUpEntry], notation: str) -> list[str]:
    """Lines of the trimming in a sentence each, with who logged or struck them out and when."""
    return [
        f"{'struck out' if line.struck_at else 'logged'} by {line.struck_by or line.by}, "
        f"{long_time(line.struck_at or line.at)}: "
        f"{' '.join(tooth_number(tooth, notation) for tooth in line.teeth)}"
        for line in lines
    ]


def listed(arch: str) -> list[reference.Way]:
    """What is known of each way that an arch allows, for reading beside the choice."""
    ways = reference.ways()
    return [ways[method] for method in trimming.methods_for(arch)]
