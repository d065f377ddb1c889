"""Asking about a named thing, and what is said in its thread."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from labcases import notation as numbers
from labcases.domain.question import FIELD_OF
from labcases.enums import Side
from labcases.models import Box
from labcases.templatetags.units import long_date

# What else a question can be about. The stored word is the one that a gate's sentence names.
ABOUT: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Prescription", tuple(FIELD_OF)),
    ("Dates", ("the surgery date", "another date")),
    ("Boxes", ("the impression", "the casts", "the bite record", "the contents of a box")),
    (
        "Bench",
        (
            "the mounting",
            "the articulator record",
            "the articulator settings",
            "the denture teeth",
            "the space at a site",
            "the clearance check",
            "the vertical",
            "the set-up",
            "the trimming of the cast",
            "the final wax",
        ),
    ),
    ("After processing", ("the remount", "the release", "the delivery")),
    ("Anything else", ("the case",)),
)

WORDS = tuple(word for _group, words in ABOUT for word in words)
LONGEST = 1000


def box_words(box: Box) -> str:
    """A box as a question names it: "the box of 25-Nov-2026 to the laboratory"."""
    return f"the box of {long_date(box.sent_at or box.packed_at)} {box.direction}"


def tooth_words(tooth: str) -> str:
    """A tooth as a question names it, in both notations."""
    return f"tooth {numbers.show(tooth, 'ISO 3950')}"


class QuestionForm(forms.Form):
    """A question: what it is about, who has to answer, and whether the case waits."""

    about = forms.ChoiceField(
        label="What the question is about",
        error_messages={"required": "Choose what the question is about."},
    )
    text = forms.CharField(
        label="Question",
        max_length=LONGEST,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Write the question."},
        help_text="No names of patients: the patient's code is enough.",
    )
    waits_for = forms.ChoiceField(
        label="Who has to answer",
        choices=Side,
        widget=forms.RadioSelect(attrs={"data-across": True}),
        error_messages={"required": "Say who has to answer."},
    )
    clinical = forms.BooleanField(
        label="It is a clinical question: only the dentist answers it",
        required=False,
    )
    aside = forms.BooleanField(
        label="The case goes on meanwhile: it does not wait for the answer",
        required=False,
    )

    def __init__(
        self, *args: Any, boxes: Iterable[Box] = (), notation: str = "ISO 3950", **kwargs: Any
    ) -> None:
        """Offer the boxes of the case as well, and teeth in the reader's notation."""
        super().__init__(*args, **kwargs)
        self.boxes = {f"box {box.pk}": box for box in boxes}
        self.fields["about"].choices = [  # type: ignore[attr-defined]
            ("", "Choose one"),
            *self._groups(notation),
        ]

    def _groups(self, notation: str) -> Iterator[tuple[str, list[tuple[str, str]]]]:
        for group, words in ABOUT:
            rows = [(word, word.removeprefix("the ").capitalize()) for word in words]
            if group == "Boxes":
                rows += [
                    (key, f"B{box_words(box).removeprefix('the b')}")
                    for key, box in self.boxes.items()
                ]
            yield group, rows
            if group == "Prescription":
                yield (
                    "One tooth",
                    [
                        (
                            f"tooth {tooth}",
                            f"{numbers.show(tooth, notation)}, {numbers.name(tooth)}",
                        )
                        for tooth in (*numbers.UPPER, *numbers.LOWER)
                    ],
                )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("clinical") and cleaned.get("waits_for") == Side.LABORATORY:
            raise ValidationError(
                {
                    "waits_for": "Only the dentist answers a clinical question. Choose the office, "
                    "or take the tick off."
                }
            )
        return cleaned

    def asked(self) -> dict[str, Any]:
        """What ``domain.question.ask`` takes."""
        about = self.cleaned_data["about"]
        named: dict[str, Any] = {"about": about}
        if about in self.boxes:
            named = {"about": box_words(self.boxes[about]), "box": self.boxes[about]}
        elif about.startswith("tooth "):
            tooth = about.removeprefix("tooth ")
            named = {"about": tooth_words(tooth), "tooth": tooth}
        return {
            **named,
            "text": self.cleaned_data["text"],
            "waits_for": Side(self.cleaned_data["waits_for"]),
            "clinical": self.cleaned_data["clinical"],
            "blocking": not self.cleaned_data["aside"],
        }


class SeenForm(forms.Form):
    """How long the thread was on the person's page."""

    seen = forms.IntegerField(min_value=0, widget=forms.HiddenInput)


class SayForm(SeenForm):
    """Words for a thread: an answer, a further question or a remark."""

    text = forms.CharField(
        label="Answer",
        max_length=LONGEST,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Write the answer."},
    )

    def __init__(self, *args: Any, label: str = "Answer", **kwargs: Any) -> None:
        """Name the field after what the person may say."""
        super().__init__(*args, **kwargs)
        self.fields["text"].label = label
        self.fields["text"].error_messages = {"required": EMPTY[label]}


EMPTY = {
    "Answer": "Write the answer.",
    "Ask again": "Write what is still open.",
    "Remark": "Write the remark.",
}


class CloseForm(SeenForm):
    """Closing a thread; a reason is asked for where nobody has answered."""

    reason = forms.CharField(
        label="Why you take the question back",
        max_length=LONGEST,
        required=False,
        widget=forms.TextInput,
    )
