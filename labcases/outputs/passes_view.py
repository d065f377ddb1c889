"""A pass as the page shows it: its marks in words, what the scheme wants, what changed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from labcases import notation as numbers
from labcases.domain import calculations, ledger, passes, teeth
from labcases.domain.calculations import FoilSeen
from labcases.domain.cautions import PRACTICE
from labcases.enums import Movement, SetUpAct
from labcases.models import Case, Mark, SetUpEntry
from labcases.templatetags.units import tooth_number


@dataclass(frozen=True)
class PassTitle:
    """A pass by its movement and its number among the standing passes in it."""

    entry: SetUpEntry
    movement: str
    number: int

    @property
    def text(self) -> str:
        return f"{self.movement}, pass {self.number}"


@dataclass(frozen=True)
class Changed:
    """One line of the comparison: a word with its status mark, and the teeth."""

    word: str
    glyph: str
    teeth: str


@dataclass(frozen=True)
class Weighed:
    """What the scheme wants, how the marks stand to it, and the proposal."""

    scheme: str
    wishes: list[str]
    found: list[str]
    proposal: str
    as_wanted: bool | None
    kept: tuple[str, ...] = ()
    """Teeth, in ISO 3950, whose contacts stay as they are."""
    stays: str = ""
    """What is said of them."""


def title(case: Case, entry: SetUpEntry) -> PassTitle:
    """A struck pass keeps the number that it would have."""
    same = [
        one
        for one in ledger.standing(case)
        if one.act == SetUpAct.PASS and one.movement == entry.movement and one.pk < entry.pk
    ]
    return PassTitle(entry, str(entry.get_movement_display()), len(same) + 1)


def marks_in_words(marks: Sequence[Mark], notation: str) -> str:
    """The marks of a pass in mouth order: "16 heavy (lingual), 46"."""
    return ", ".join(_mark(mark, notation) for mark in marks) or "no tooth marked"


def _mark(mark: Mark, notation: str) -> str:
    cusps = f"({mark.get_cusps_display().lower()})" if mark.cusps else ""
    strength = mark.get_strength_display().lower()
    return " ".join(part for part in (tooth_number(mark.tooth, notation), strength, cusps) if part)


def weighed(case: Case, entry: SetUpEntry, marks: Sequence[Mark], notation: str) -> Weighed | None:
    """The proposal for a pass; nothing where no scheme is prescribed."""
    row = case.prescription
    told = calculations.weigh_pass(
        [FoilSeen(mark.tooth, mark.strength, mark.cusps) for mark in marks],
        movement=Movement(entry.movement),
        scheme=row.scheme,
        kinds={tooth: teeth.kind(row, tooth) for tooth in (*numbers.UPPER, *numbers.LOWER)},
        own=_set(case, entry) or teeth.replaced(row),
    )
    if told.as_wanted is None:
        return None

    def named(found: Iterable[str]) -> str:
        return " ".join(tooth_number(tooth, notation) for tooth in found)

    found = [
        said.format(named(those))
        for those, said in (
            (told.lacking, "Wanted and not marked: {}."),
            (told.unwanted, "Marked and not wanted: {}."),
            (told.buccal, "Marked on buccal cusps, where the upper lingual cusps carry: {}."),
            (told.heavy, f"Heavier than the others: {{}} ({PRACTICE})."),
        )
        if those
    ]
    return Weighed(
        scheme=str(row.get_scheme_display()),
        wishes=[
            f"{wish.role[:1].upper()}{wish.role[1:]}: {wish.wish} of posterior teeth. "
            f"{wish.reason}."
            for wish in told.wishes
        ],
        found=found or ["Every tooth that is asked about stands as the scheme wants."],
        proposal="As wanted" if told.as_wanted else "Not as wanted",
        as_wanted=told.as_wanted,
        kept=told.kept,
        stays=f"Leave as they are: {named(told.kept)}. The scheme wants these contacts."
        if told.kept
        else "",
    )


def _set(case: Case, entry: SetUpEntry) -> list[str]:
    """Denture teeth that were logged as set before the pass, in mouth order."""
    logged = {
        tooth
        for one in ledger.standing(case)
        if one.act == SetUpAct.TOOTH_SET and one.pk < entry.pk
        for tooth in one.teeth
    }
    return [tooth for tooth in teeth.replaced(case.prescription) if tooth in logged]


def changed(now: Sequence[Mark], then: Sequence[Mark], notation: str) -> list[Changed]:
    """What became of the marks since the last pass of the same movement."""
    told = passes.changes(now, then)
    rows = (
        ("Gone", "done", told.gone),
        ("Weaker", "on the bench", told.weaker),
        ("Still there", "waiting", told.still),
        ("Stronger", "warning", told.stronger),
        ("New", "warning", told.new),
    )
    return [
        Changed(word, glyph, " ".join(tooth_number(tooth, notation) for tooth in found))
        for word, glyph, found in rows
        if found
    ]


def due(case: Case, notation: str) -> list[str]:
    """What is looked at again after grinding, as sentences; nothing after a quiet pass."""
    since = passes.ground_since(case, SetUpAct.PASS, movement=Movement.CENTRIC)
    if not since:
        return []
    named = " ".join(tooth_number(tooth, notation) for tooth in since)
    return [f"Ground or set since the last pass in centric: {named}. Mark centric again."]


def pin_due(case: Case) -> bool:
    """Whether teeth were ground since somebody looked at the pin, or nobody ever did."""
    due = False
    for entry in ledger.standing(case):
        if entry.act in (SetUpAct.PIN_READING, SetUpAct.PIN_OPENED):
            due = False
        due = due or entry.act == SetUpAct.REDUCTION
    return due
