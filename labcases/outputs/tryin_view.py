"""A recorded try-in as screen and paper show it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from labcases.domain import tryin_numbers
from labcases.domain.tryin_numbers import Said
from labcases.enums import TryInOutcome
from labcases.models import BenchCheck, TryIn
from labcases.reference import checklists
from labcases.templatetags.units import mm, signed_mm

WORDS = {
    **{"ok": "OK", "change": "Change", "redo": "Redo", "": "Not answered"},
    **{"yes": "Yes", "no": "No"},
}
GLYPHS = {
    **{"ok": "done", "change": "warning", "redo": "remake", "": "not yet"},
    **{"yes": "done", "no": "remake"},
}


@dataclass(frozen=True)
class Answer:
    """One line of the checklist with its answer, and what was said of it."""

    text: str
    word: str
    glyph: str
    said: str = ""


@dataclass(frozen=True)
class AnsweredPause:
    title: str
    answers: list[Answer]


@dataclass(frozen=True)
class Recorded:
    """One try-in that the dentist has decided."""

    row: TryIn
    pauses: list[AnsweredPause]
    open_lines: list[str]
    numbers: list[dict[str, str]]
    said: list[Said]
    again: list[str]

    @property
    def waived(self) -> bool:
        return self.row.outcome == TryInOutcome.WAIVED


@dataclass(frozen=True)
class Checked:
    """One bench check with its answers."""

    row: BenchCheck
    pauses: list[AnsweredPause]


def checked(row: BenchCheck) -> Checked:
    """Every line that the bench answered."""
    pauses = checklists.bench_pauses(row.case.prescription.arch)
    return Checked(row, [answered(pause, row.answers, row.words) for pause in pauses])


def recorded(row: TryIn) -> Recorded:
    """Every line with its answer; ``open_lines`` are those that are not OK.

    A try-in that was waived has no lines: nobody looked.
    """
    pauses = [] if row.outcome == TryInOutcome.WAIVED else [*_bench(row), *_mouth(row)]
    return Recorded(
        row=row,
        pauses=pauses,
        open_lines=[
            ": ".join(part for part in (answer.word, answer.text, answer.said) if part)
            for pause in pauses
            for answer in pause.answers
            if answer.word in ("Change", "Redo", "No")
        ],
        numbers=numbers(row),
        said=tryin_numbers.said(row, tryin_numbers.tolerance_of(row.case)),
        again=[
            line.redo.text
            for line in checklists.lines_of(checklists.mouth_pauses())
            if line.redo and row.answers.get(line.key) == "redo"
        ],
    )


def numbers(row: TryIn) -> list[dict[str, str]]:
    """Every number that was entered, and the patient's word, with their labels."""
    told = (
        ("Vertical at rest", mm(row.vertical_rest_mm)),
        ("Vertical between the two marks", mm(row.vertical_mm)),
        ("Closest speaking space", mm(row.speaking_mm)),
        ("Centric, closed in the mouth", closings(row.centric)),
        ("Incisal display at rest", mm(row.display_rest_mm)),
        ("Incisal display smiling", mm(row.display_smile_mm)),
        ("Midline offset", side_mm(row.midline_mm)),
        ("Change of length wanted", signed_mm(row.length_change_mm)),
        ("At F and V the front teeth", _small(row.get_lip_contact_display())),
        ("The patient saw", _small(row.get_patient_saw_display())),
        ("The patient's word", _small(row.get_patient_word_display())),
        ("As listed", row.patient_list),
        ("Asked by", row.patient_asked_by),
    )
    return [{"label": label, "value": value} for label, value in told if value]


def side_mm(value: Decimal | None) -> str:
    """An offset with its side in words: plus is to the patient's left."""
    if value is None or value == 0:
        return mm(value)
    return f"{mm(abs(value))} to the patient's {'left' if value > 0 else 'right'}"


def closings(centric: list[list[str]]) -> str:
    return ", ".join(tryin_numbers.closing_words(pair) for pair in centric)


def _small(text: Any) -> str:
    words = str(text or "")
    return f"{words[:1].lower()}{words[1:]}"


def _bench(row: TryIn) -> list[AnsweredPause]:
    """What the bench answered; of a try-in of before that, what the dentist answered of it."""
    check: BenchCheck | None = getattr(row, "bench_check", None)
    answers = check.answers if check else row.answers
    words = check.words if check else row.words
    pauses = checklists.bench_pauses(row.case.prescription.arch)
    return [
        answered(pause, answers, words)
        for pause in pauses
        if any(line.key in answers for line in pause.lines)
    ]


def _mouth(row: TryIn) -> list[AnsweredPause]:
    return [
        answered(pause, row.answers, row.words)
        for pause in checklists.mouth_pauses(row.case.prescription.arch)
    ]


def answered(
    pause: checklists.Pause, answers: dict[str, str], words: dict[str, str]
) -> AnsweredPause:
    """Every line of a pause with its answer."""
    return AnsweredPause(
        pause.title,
        [
            Answer(line.text, WORDS[given], GLYPHS[given], words.get(line.key, ""))
            for line in pause.lines
            for given in (answers.get(line.key, ""),)
        ],
    )


def differing(answers: dict[str, str], other: dict[str, str]) -> str:
    """The lines of one set of answers, or of words, that another set has otherwise."""
    texts = checklists.line_texts()
    return "; ".join(
        f"{text}: {WORDS.get(given, given)}"
        for key, text in texts.items()
        for given in (answers.get(key, ""),)
        if given != other.get(key, "")
    )
