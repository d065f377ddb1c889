"""A recorded try-in as screen and paper show it."""

from __future__ import annotations

from dataclasses import dataclass

from labcases import reference
from labcases.enums import TryInOutcome
from labcases.models import TryIn

WORDS = {"ok": "OK", "change": "Change", "redo": "Redo", "": "Not answered"}
GLYPHS = {"ok": "done", "change": "warning", "redo": "remake", "": "not yet"}


@dataclass(frozen=True)
class Answer:
    """One line of the checklist with its answer."""

    text: str
    word: str
    glyph: str


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

    @property
    def waived(self) -> bool:
        return self.row.outcome == TryInOutcome.WAIVED


def recorded(row: TryIn) -> Recorded:
    """Every line with its answer; ``open_lines`` are those that are not OK.

    A try-in that was waived has no lines: nobody looked.
    """
    asked = () if row.outcome == TryInOutcome.WAIVED else _checklist(row)
    pauses = [
        AnsweredPause(
            pause.title,
            [
                Answer(line.text, WORDS[given], GLYPHS[given])
                for line in pause.lines
                for given in (row.answers.get(line.key, ""),)
            ],
        )
        for pause in asked
    ]
    return Recorded(
        row=row,
        pauses=pauses,
        open_lines=[
            f"{answer.word}: {answer.text}"
            for pause in pauses
            for answer in pause.answers
            if answer.word in (WORDS["change"], WORDS["redo"])
        ],
    )


def _checklist(row: TryIn) -> tuple[reference.Pause, ...]:
    return reference.try_in_checklist(row.case.prescription.arch)


def differing(answers: dict[str, str], other: dict[str, str]) -> str:
    """The lines of one set of answers that another set answers otherwise."""
    texts = {line.key: line.text for pause in reference.try_in_checklist() for line in pause.lines}
    return "; ".join(
        f"{text}: {WORDS[answers.get(key, '')]}"
        for key, text in texts.items()
        if answers.get(key, "") != other.get(key, "")
    )
