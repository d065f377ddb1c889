"""Height budget and set-up on paper: the sites, the last passes beside the prediction, the log."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from labcases.domain import checks, ledger, reductions
from labcases.domain.reductions import Allowed
from labcases.enums import CheckKind, Movement, PaperKind
from labcases.models import Case, Mark, User
from labcases.outputs import explained_view, ledger_view, paper, passes_view, setup_view
from labcases.outputs.explained_view import ComparedView, MovementRow
from labcases.templatetags.units import tooth_number

TEMPLATE = "outputs/setup_sheet.html"

GIVEN = ("base_min_mm", "relief_mm", "tooth_height_mm")
"""What a site was given, beside what was found for it."""


@dataclass(frozen=True)
class SiteRow:
    """One site of the kept budget: what it was given, what was found, what was taken since.

    ``against`` says whose tooth stands opposite. Numbers of ``found`` and ``given`` are mm.
    """

    site: str
    against: str
    found: dict[str, Any]
    given: dict[str, Any]
    taken_mm: Decimal | None
    allowed: Allowed | None


@dataclass(frozen=True)
class LastPass:
    """The last pass in one movement, and how its marks stand to the prediction.

    ``beside`` is nothing where the movement was not compared, or no pass was made.
    """

    movement: str
    number: int
    marks: str
    word: str
    by: str
    at: datetime | None
    beside: MovementRow | None


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """Budget and comparison as they are kept, with what changed since; the log in its order."""
    height = checks.latest(case, CheckKind.HEIGHT)
    compared = explained_view.build_context(case, notation)
    return {
        **paper.common(case, PaperKind.SET_UP, by, notation),
        "height": height,
        "sites": sites(case, height, notation) if height else [],
        "compared": compared,
        "last_passes": last_passes(case, compared, notation),
        "vertical": setup_view.vertical(ledger.balance(case)),
        **ledger_view.build_context(case, notation),
        "lines": setup_view.lines(case, notation)[::-1],
    }


def sites(case: Case, height: checks.Shown, notation: str) -> list[SiteRow]:
    """Every site of the kept budget, in mouth order."""
    given = height.run.inputs["sites"]
    taken = reductions.taken_mm(case)
    allowed = reductions.allowed(case)
    return [
        SiteRow(
            site=tooth_number(row["tooth"], notation),
            against=row["antagonist"] or "nothing",
            found=row,
            given={name: given.get(row["tooth"], {}).get(name) for name in GIVEN},
            taken_mm=Decimal(f"{taken[row['tooth']]:.2f}") if taken.get(row["tooth"]) else None,
            allowed=allowed.get(row["tooth"]),
        )
        for row in height.run.findings["rows"]
    ]


def last_passes(case: Case, compared: ComparedView | None, notation: str) -> list[LastPass]:
    """Every movement in the order of the bench, whether a pass was made in it or not."""
    last = ledger.last_passes(case)
    marks: dict[int, list[Mark]] = {entry.pk: [] for entry in last.values()}
    for mark in Mark.objects.filter(entry__in=marks):
        marks[mark.entry_id].append(mark)
    beside = {row.movement: row for row in compared.rows} if compared else {}
    found = []
    for movement in Movement:
        entry = last.get(movement)
        if entry is None:
            found.append(LastPass(str(movement.label), 0, "", "No pass yet", "", None, None))
            continue
        found.append(
            LastPass(
                movement=str(movement.label),
                number=passes_view.title(case, entry).number,
                marks=passes_view.marks_in_words(marks[entry.pk], notation),
                word=setup_view.JUDGED[entry.as_wanted][0],
                by=str(entry.by),
                at=entry.at,
                beside=beside.get(str(movement.label)),
            )
        )
    return found
