"""Asking about a named thing, and answering."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from labcases.enums import Side

# What a question can be about. The stored word is the one that a gate's sentence names.
ABOUT: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "Prescription",
        (
            "the route",
            "the teeth to be replaced",
            "the opposing teeth",
            "the order of the set-up",
            "the base material",
            "the tooth material",
            "the shade",
            "the mould",
            "the occlusal scheme",
            "the jaw record",
            "the flange",
            "the allergy",
            "the try-in",
            "overjet and overbite",
            "the instructions",
        ),
    ),
    ("Dates", ("the surgery date", "another date")),
    ("Boxes", ("the impression", "the casts", "the bite record", "the contents of a box")),
    (
        "Bench",
        (
            "the mounting",
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


class QuestionForm(forms.Form):
    """A question: what it is about, who has to answer, and whether it is clinical."""

    about = forms.ChoiceField(
        label="What the question is about",
        choices=[
            ("", "Choose one"),
            *(
                (group, [(word, word.removeprefix("the ").capitalize()) for word in words])
                for group, words in ABOUT
            ),
        ],
        error_messages={"required": "Choose what the question is about."},
    )
    text = forms.CharField(
        label="Question",
        max_length=1000,
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


class AnswerForm(forms.Form):
    """One answer to one question."""

    text = forms.CharField(
        label="Answer",
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Write the answer."},
    )
