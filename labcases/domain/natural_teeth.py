"""Natural teeth as the places of findings, and the dentist's word on each.

A finding says what was seen and where. It holds no depth, no incline, no order and no plan: the
only number that it may hold is how far a tooth stands beyond the occlusal plane.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from labcases import notation
from labcases.domain import checks, ledger, over_eruption, teeth
from labcases.domain import proposal_reading as reading
from labcases.enums import CheckKind, OpposingTooth
from labcases.enums.proposals import ProposalKind, ProposalState
from labcases.models import Case, Proposal
from labcases.templatetags.units import mm

EXCURSIONS = {"protrusive": "protrusion", "right": "right lateral", "left": "left lateral"}


@dataclass(frozen=True)
class NaturalFinding:
    """Something that was found at a natural tooth, and where it comes from.

    ``stands_mm`` is how far the tooth stands beyond the occlusal plane, where that is the finding.
    ``other`` is the denture tooth that meets it, where one does.
    """

    tooth: str
    text: str
    origin: str
    stands_mm: Decimal | None = None
    other: str = ""


def findings(case: Case) -> list[NaturalFinding]:
    """Every finding of a case at a natural tooth, in mouth order."""
    found = [*_beyond_plane(case), *_in_the_check(case), *_by_foil(case), *_proposed(case)]
    order = (*notation.UPPER, *notation.LOWER)
    return sorted(found, key=lambda one: order.index(one.tooth))


def is_natural(case: Case, tooth: str) -> bool:
    return teeth.kind(case.prescription, tooth) == OpposingTooth.NATURAL


def _beyond_plane(case: Case) -> Iterator[NaturalFinding]:
    row = case.prescription
    for tooth, height_mm in over_eruption.heights(row).items():
        yield NaturalFinding(
            tooth,
            f"{over_eruption.stands(tooth, height_mm)}.",
            f"prescription R{row.revision:02d}, {over_eruption.read_by(row)}",
            stands_mm=height_mm,
        )


def _in_the_check(case: Case) -> Iterator[NaturalFinding]:
    """Where the kept check has a natural tooth in the way of a denture tooth.

    How deep the two overlap is told of the denture tooth, on its own row of the check.
    """
    shown = checks.latest(case, CheckKind.CLEARANCE)
    if shown is None:
        return
    stale = ", stale" if shown.stale else ""
    for excursion in shown.run.findings["excursions"]:
        for row in excursion["teeth"]:
            place = row["place"]
            if row["state"] == "interference" and place and is_natural(case, place):
                yield NaturalFinding(
                    place,
                    f"In {EXCURSIONS[excursion['excursion']]} denture tooth {row['tooth']} meets "
                    f"it at {_travel(row)} of travel, as modelled.",
                    f"clearance check{stale}",
                    other=row["tooth"],
                )


def _travel(row: dict[str, Any]) -> str:
    return mm(Decimal(str(round(row["at_travel_mm"], 1))))


def _by_foil(case: Case) -> Iterator[NaturalFinding]:
    for movement, entry in ledger.last_passes(case).items():
        if entry.as_wanted is not False:
            continue
        for tooth in entry.teeth:
            if is_natural(case, tooth):
                yield NaturalFinding(
                    tooth,
                    f"It marks in {movement.label.lower()}, and the pass was not as the scheme "
                    "wants.",
                    "articulating foil, last pass",
                )


def _proposed(case: Case) -> Iterator[NaturalFinding]:
    """What somebody put to the dentist in words."""
    for row in case.proposals.all():
        if row.kind == ProposalKind.NATURAL and row.state != ProposalState.WITHDRAWN:
            yield NaturalFinding(row.tooth, row.why, reading.name(row))


@dataclass(frozen=True)
class Word:
    """What the dentist said of a natural tooth, or that nobody was asked yet."""

    row: Proposal | None

    @property
    def text(self) -> str:
        if self.row is None:
            return ""
        if self.row.waits:
            return "asked, not answered yet"
        return reading.answer_words(self.row)


def word(case: Case, tooth: str) -> Word:
    """The dentist's word on a natural tooth; it stands beside every finding there."""
    return Word(reading.of_tooth(case, tooth))
