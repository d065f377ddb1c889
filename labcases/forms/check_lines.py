"""Lines of a checklist as boxes: an answer each, and words where they are needed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar

from django import forms
from django.forms import BoundField

from labcases.domain.bench_check import NO, YES
from labcases.forms.base import PartForm
from labcases.reference.checklists import CheckLine, Pause, lines_of

MOST_WORDS = 200
YES_OR_NO = ((YES, "Yes"), (NO, "No"))


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


class LinesForm(PartForm):
    """A checklist as a part of a case; it may be saved while lines are open."""

    together: ClassVar[tuple[str, ...]] = ("answers", "words")

    def lay_out(self, pauses: tuple[Pause, ...], choices: Sequence[tuple[str, str]]) -> None:
        """Put the lines of a checklist onto the form, as they stand in its row."""
        row = self.instance
        self.stored = {"answers": dict(row.answers), "words": dict(row.words)}
        self.checklist = pauses
        add_lines(self, lines_of(pauses), choices, row.answers, row.words)

    @property
    def pauses(self) -> list[AskedPause]:
        return asked(self, self.checklist)

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.together}


class YesNoForm(LinesForm):
    """Yes or no a line, with words at every no."""

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        lines = lines_of(self.checklist)
        for name, told in given(cleaned, lines).items():
            kept = self.data.get(f"keep-{name}") == "stored"
            cleaned[name] = self.stored[name] if kept else told
        for line in lines:
            if cleaned["answers"].get(line.key) == NO and not cleaned["words"].get(line.key):
                self.add_error(words_of(line), f"Say what is wrong: {line.text}.")
        return cleaned
