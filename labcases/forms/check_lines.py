"""Lines of a checklist as boxes: an answer each, and words where they are needed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django import forms
from django.forms import BoundField

from labcases.reference.checklists import CheckLine, Pause

MOST_WORDS = 200


@dataclass(frozen=True)
class AskedLine:
    """One line with the boxes that answer it, and what redo would mean there."""

    answer: BoundField
    words: BoundField
    redo: str = ""
    numbers: list[BoundField] = field(default_factory=list)


@dataclass(frozen=True)
class AskedPause:
    title: str
    lines: list[AskedLine]


def add_lines(
    form: forms.BaseForm,
    lines: Iterable[CheckLine],
    choices: Sequence[tuple[str, str]],
    answers: Mapping[str, str],
    words: Mapping[str, str],
) -> None:
    """Give a form an answer and a box for words for each line, filled with what is stored."""
    for line in lines:
        form.fields[answer_of(line)] = forms.ChoiceField(
            choices=choices,
            label=line.text,
            required=False,
            widget=forms.RadioSelect(attrs={"data-across": True, "data-needed": True}),
        )
        form.fields[words_of(line)] = forms.CharField(
            label="In words",
            max_length=MOST_WORDS,
            required=False,
            widget=forms.TextInput(attrs={"data-needed": True}),
        )
        form.initial[answer_of(line)] = answers.get(line.key, "")
        form.initial[words_of(line)] = words.get(line.key, "")


def asked(
    form: forms.BaseForm,
    pauses: Iterable[Pause],
    numbers: Mapping[str, Sequence[str]] | None = None,
) -> list[AskedPause]:
    """The pauses with their boxes; ``numbers`` names the boxes that stand at a line."""
    return [
        AskedPause(
            pause.title,
            [
                AskedLine(
                    answer=form[answer_of(line)],
                    words=form[words_of(line)],
                    redo=line.redo.text if line.redo else "",
                    numbers=[form[name] for name in (numbers or {}).get(line.key, ())],
                )
                for line in pause.lines
            ],
        )
        for pause in pauses
    ]


def given(cleaned: Mapping[str, Any], lines: Sequence[CheckLine]) -> dict[str, dict[str, str]]:
    """``answers`` and ``words`` by the key of the line, without the empty ones."""
    return {
        name: {line.key: text for line in lines if (text := cleaned.get(box(line), ""))}
        for name, box in (("answers", answer_of), ("words", words_of))
    }


def answer_of(line: CheckLine) -> str:
    return f"answer_{line.key}"


def words_of(line: CheckLine) -> str:
    return f"words_{line.key}"
