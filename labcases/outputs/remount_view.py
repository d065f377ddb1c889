"""The remount as screen and paper show it: where the pin stands, what is proposed, the lines."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from labcases import notation as numbers
from labcases.domain import calculations, checks, reductions, remount, remount_ledger, teeth
from labcases.domain.calculations import RiseAdvice, RiseRow, SeenExcursion, SeenMark
from labcases.domain.cautions import PRACTICE
from labcases.domain.remount_ledger import AfterProcessing, RemountStep
from labcases.enums import CheckKind, Movement
from labcases.models import Case, RemountEntry, ToothSelection
from labcases.outputs import ledger_view, marks_view
from labcases.outputs.marks_view import WORDS
from labcases.reference.remount import Cause, causes, to_mind
from labcases.templatetags.units import mm, signed_mm, tooth_number


@dataclass(frozen=True)
class Standing:
    """The readings on top of the page, in words."""

    before: str
    rise: str
    pin: str
    accepted: str
    left: str
    word: str
    glyph: str


@dataclass(frozen=True)
class Proposed:
    """One row of the proposal: a mark, what yields, and how far at most by the pin."""

    movement: str
    tooth: str
    yields: str
    word: str
    glyph: str
    text: str
    if_alone: str
    cautions: tuple[str, ...]
    source: str


@dataclass(frozen=True)
class ContactRow:
    """The contacts in one movement before and after the correction."""

    movement: str
    before: str
    after: str
    word: str
    glyph: str


@dataclass(frozen=True)
class Line:
    """One line of the log; ``text`` has teeth as the reader numbers them."""

    entry: RemountEntry
    text: str
    struck: bool


@dataclass(frozen=True)
class StepRow:
    """One reading, and what explains it."""

    step: RemountStep
    text: str


def build_context(case: Case, notation: str) -> dict[str, Any]:
    """Everything of the remount but its forms and its checklist."""
    told = remount_ledger.of(case)
    found = advice(case, told)
    return {
        "told": told,
        "stands": stands(told),
        "advice": found,
        "proposed": [_proposed(row, notation) for row in found.rows] if found else [],
        "causes_to_look_at": looked_at(told),
        "contacts": [_contacts(one, notation) for one in told.contacts],
        "steps": [
            StepRow(step, ledger_view.in_numbers(step.text, notation))
            for step in remount_ledger.steps(case)
        ],
        "growth": growth(case),
        "practice": PRACTICE,
        "cautions": to_mind("remount"),
    }


def stands(told: AfterProcessing) -> Standing:
    """Readings in words, and what they come to."""
    if told.rise_mm is None:
        word, glyph = "Not read", "not yet"
    elif told.balanced:
        word, glyph = "Balanced", "done"
    elif told.ground_since:
        word, glyph = "Read it again", "waiting"
    else:
        word, glyph = "Not balanced", "warning"
    return Standing(
        before=mm(told.zero_mm + told.agreed_mm),
        rise=signed_mm(told.rise_mm) or "not read",
        pin=mm(told.pin_mm) or "not read",
        accepted=signed_mm(told.accepted_mm) or "nothing",
        left=signed_mm(told.left_mm) or "not known",
        word=word,
        glyph=glyph,
    )


def looked_at(told: AfterProcessing) -> list[Cause]:
    """What to look at while the cause of a high rise is not recorded."""
    return list(causes().values()) if told.lacks_cause else []


def advice(case: Case, told: AfterProcessing) -> RiseAdvice | None:
    """What is proposed as the pin stands now; nothing before it is read, or once it balances."""
    if told.rise_mm is None or told.balanced or told.ground_since:
        return None
    height = checks.latest(case, CheckKind.HEIGHT)
    selection: ToothSelection | None = getattr(case, "selection", None)
    row = case.prescription
    return calculations.rise_advice(
        case,
        # A reading that asks for its cause keeps anything from being proposed, also later on.
        rise_mm=_rise(told),
        cause=remount.cause_words(told.cause) if told.cause else "",
        marks=[
            SeenMark(one.movement, tooth, last.marks.get(tooth, {}).get("cusps", ""))
            for one in told.contacts
            if (last := one.after or one.before) is not None
            and (one.movement == Movement.CENTRIC or not last.as_wanted)
            for tooth in last.teeth
        ],
        kinds={tooth: teeth.kind(row, tooth) for tooth in (*numbers.UPPER, *numbers.LOWER)},
        made_of=dict.fromkeys(teeth.replaced(row), selection.material if selection else ""),
        height=height.run.findings if height else None,
        taken_mm=reductions.taken_mm(case),
        excursions=_excursions(case, told),
    )


def _excursions(case: Case, told: AfterProcessing) -> dict[Movement, SeenExcursion]:
    """The last pass in each excursion after processing, for the marks in centric."""
    since = frozenset(tooth for tooth, _off_mm in remount_ledger.corrected(case))
    return {
        one.movement: SeenExcursion(
            {tooth: last.marks.get(tooth, {}).get("cusps", "") for tooth in last.teeth},
            frozenset() if one.after else since,
        )
        for one in told.contacts
        if one.movement != Movement.CENTRIC and (last := one.after or one.before) is not None
    }


def _rise(told: AfterProcessing) -> Decimal:
    rise = told.highest_mm if told.lacks_cause else told.rise_mm
    return rise or Decimal("0")


def growth(case: Case) -> str:
    """How much four ways of curing let a vertical grow on average, at this vertical."""
    read = next(
        (row.vertical_mm for row in reversed(list(case.try_ins.all())) if row.vertical_mm),
        case.prescription.vertical_occlusion_mm,
    )
    told = calculations.growth_mm(read) if read is not None else None
    if told is None or read is None:
        return ""
    least, most = told
    return (
        f"At a vertical of {mm(read)}, four ways of curing let it grow by {mm(least)} to "
        f"{mm(most)} on average, ten pairs each. That is no prediction for one denture. Source: "
        f"{calculations.GROWTH_SOURCE}"
    )


def _proposed(row: RiseRow, notation: str) -> Proposed:
    one = row.advice
    word, glyph = WORDS[one.kind]

    def told(text: str) -> str:
        return marks_view.in_numbers(text, one, notation)

    return Proposed(
        movement=str(one.mark.movement.label),
        tooth=tooth_number(one.mark.tooth, notation),
        yields=tooth_number(one.yields, notation),
        word=word,
        glyph=glyph,
        text=told(one.text),
        if_alone=_if_alone(row.if_alone_mm),
        cautions=tuple(told(text) for text in one.cautions),
        source=one.source,
    )


def _if_alone(value: Decimal | None) -> str:
    return f"at most {mm(value)}, if it alone lifts the pin" if value is not None else ""


_JUDGED: Mapping[bool | None, tuple[str, str]] = {
    None: ("Not judged", "not yet"),
    True: ("As wanted", "done"),
    False: ("Not as wanted", "warning"),
}


def _contacts(one: remount_ledger.Contacts, notation: str) -> ContactRow:
    word, glyph = _JUDGED[one.after.as_wanted] if one.after else ("No pass yet", "not yet")
    return ContactRow(
        movement=str(one.movement.label),
        before=_marks(one.before, notation),
        after=_marks(one.after, notation),
        word=word,
        glyph=glyph,
    )


def _marks(entry: RemountEntry | None, notation: str) -> str:
    return remount.marks_words(entry, _numbered(notation)) if entry else ""


def lines(case: Case, notation: str) -> list[Line]:
    """Every line, the newest first; struck ones stay in their place."""
    rows = case.remount_entries.select_related("by", "struck_by").order_by("-id")
    return [
        Line(row, remount.in_words(row, _numbered(notation)), row.struck_at is not None)
        for row in rows
    ]


def _numbered(notation: str) -> Callable[[str], str]:
    return lambda tooth: tooth_number(tooth, notation)
