"""Marks of foil beside the prediction, as the page and a paper show them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from labcases.domain import explaining
from labcases.domain.calculations import OneChange, SeenOfMovement
from labcases.domain.explaining import Compared
from labcases.enums.marks import Decision
from labcases.models import Case, Proposal
from labcases.templatetags.units import deg, mm, tooth_number

GLYPHS = {
    "nothing to explain": ("not yet", "Nothing to explain"),
    "as predicted": ("done", "As predicted"),
    "explained": ("on the bench", "Explained"),
    "not explained": ("warning", "Not explained"),
}
"""Kind of an answer -> its status mark and word."""

BUTTONS = {
    "edit": "Adopt it in the articulator record",
    "propose": "Propose it to the dentist",
    "re-set": "It is set again: log it",
    "measure": "Adopt the height",
}
"""What adopting does -> the words of the button."""

WHAT_FOLLOWS = {
    "edit": "The record is changed as by hand: unusual settings are acknowledged anew, and the "
    "clearance check goes stale.",
    "propose": "The dentist gave this setting. It changes only when the dentist says so.",
    "re-set": "Set it again first. The line goes into the set-up log, and centric is marked anew.",
    "measure": "The height of its tips is corrected by this much, as if callipers had read it so. "
    "Nothing is taken off the tooth.",
    "": "Nothing is changed here: put the pin back on the bench, say that it touches the table, "
    "and mark again.",
}
"""What adopting does, in a sentence."""

DECIDED = {
    Decision.PROPOSED: "waiting",
    Decision.LEFT: "ended",
}


@dataclass(frozen=True)
class MovementRow:
    """One movement: teeth as the reader numbers them."""

    movement: str
    seen: str
    not_seen: str
    unpredicted: str
    seen_contact: str
    lifted: str


@dataclass(frozen=True)
class Change:
    """The one change: what it is, how sure, and what adopting it would do."""

    name: str
    what: str
    deviation: str
    explains: str
    button: str
    follows: str


@dataclass(frozen=True)
class ComparedView:
    """The last comparison of a case."""

    pk: int
    glyph: str
    word: str
    text: str
    action: str
    rows: tuple[MovementRow, ...]
    change: Change | None
    runner_up: Change | None
    open: bool
    changed: tuple[str, ...]
    decision: str
    decided_glyph: str
    decided_by: str
    decided_at: datetime | None
    reason: str
    proposal: Proposal | None
    unused: str
    assumptions: tuple[str, ...]
    computed_by: str
    computed_at: datetime
    engine_version: str

    @property
    def changes(self) -> tuple[Change, ...]:
        """The one change, and beside it the one that cannot be told apart from it."""
        return tuple(one for one in (self.change, self.runner_up) if one is not None)


def build_context(case: Case, notation: str) -> ComparedView | None:
    """The last comparison as it was kept; nothing where none was made."""
    found = explaining.latest(case)
    return None if found is None else _view(case, found, notation)


def _view(case: Case, found: Compared, notation: str) -> ComparedView:
    run, told = found.run, found.explained
    glyph, word = GLYPHS[told.kind]
    named = [one.tooth for one in (told.best, told.runner_up) if one and one.tooth]

    def words(text: str) -> str:
        return in_numbers(text, named, notation)

    return ComparedView(
        pk=run.pk,
        glyph=glyph,
        word=word,
        text=words(told.text),
        action=words(told.action),
        rows=tuple(_row(one, notation) for one in told.movements),
        change=_change(case, told.best, told.readings, notation),
        runner_up=None
        if told.told_apart
        else _change(case, told.runner_up, told.readings, notation),
        open=found.open,
        changed=tuple(found.changed),
        decision=str(run.get_decision_display()) if run.decision else "",
        decided_glyph=DECIDED[Decision(run.decision)] if run.decision else "",
        decided_by=str(run.decided_by or ""),
        decided_at=run.decided_at,
        reason=run.reason,
        proposal=run.proposal,
        unused=_teeth(told.unused, notation),
        assumptions=told.assumptions,
        computed_by=str(run.by),
        computed_at=run.at,
        engine_version=run.engine_version,
    )


def _row(one: SeenOfMovement, notation: str) -> MovementRow:
    return MovementRow(
        movement=str(one.movement.label),
        seen=_teeth(one.seen, notation),
        not_seen=_teeth(one.not_seen, notation),
        unpredicted=_teeth(one.unpredicted, notation),
        seen_contact=_teeth(one.seen_contact, notation),
        lifted=_teeth(one.lifted, notation),
    )


def _change(case: Case, one: OneChange | None, readings: int, notation: str) -> Change | None:
    if one is None:
        return None
    way = explaining.way_of(case, one)
    show: Any = deg if one.unit == "deg" else mm
    if one.tooth:
        nearer = {"denture tooth": ("too high", "too low")}.get(
            one.kind, ("higher than measured", "lower than measured")
        )
        what = f"{mm(round(abs(one.change), 2))} {nearer[0] if one.change > 0 else nearer[1]}"
    elif one.unit == "deg":
        what = deg(explaining.setting_value(one))
    else:
        what = f"{mm(round(abs(one.change), 2))} {'higher' if one.change > 0 else 'lower'}"
    return Change(
        name=f"Tooth {tooth_number(one.tooth, notation)}" if one.tooth else one.name,
        what=what,
        deviation=show(round(one.sd, 1 if one.unit == "deg" else 2)),
        explains=f"{one.explained} of {readings} readings",
        button=BUTTONS.get(way, ""),
        follows=WHAT_FOLLOWS[way],
    )


def _teeth(teeth: Iterable[str], notation: str) -> str:
    return " ".join(tooth_number(tooth, notation) for tooth in teeth)


def in_numbers(text: str, teeth: Iterable[str], notation: str) -> str:
    """A sentence with these teeth as the reader numbers them.

    Numbers of degrees and of readings are left as they are.
    """
    named = "|".join(sorted(teeth))
    if not named:
        return text
    return re.sub(
        rf"(?<![\d.])(?:{named})(?!\d|\.\d| deg| of the | readings)",
        lambda found: tooth_number(found.group(), notation),
        text,
    )
