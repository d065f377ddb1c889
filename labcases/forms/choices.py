"""Yes and no, and teeth typed as numbers: fields that several pages of the bench use."""

from __future__ import annotations

import re
from typing import Any

from django import forms

from labcases import notation as numbers
from labcases.enums import Notation
from labcases.templatetags.units import tooth_number

LONGEST_WORD = 20


class YesNoField(forms.TypedChoiceField):
    """Yes, no, or not said yet; never a tick that might only have been forgotten."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(
            choices=(("", "Not said yet"), ("yes", "Yes"), ("no", "No")),
            coerce=lambda value: value == "yes",
            empty_value=None,
            **options,
        )

    def prepare_value(self, value: Any) -> Any:
        if value is None:
            return ""
        return ("yes" if value else "no") if isinstance(value, bool) else value


class TeethField(forms.CharField):
    """Teeth typed as numbers with blanks or commas between, read in one named notation.

    Eighteen numbers are legal in both notations, so the field never guesses: it is told
    which one the person's organisation uses. The cleaned value is a list of ISO 3950
    numbers, each once, in mouth order.

    Parameters
    ----------
    notation : str
        The notation that the numbers are typed in.
    """

    def __init__(self, *, notation: str = Notation.ISO_3950, **options: Any) -> None:
        self.notation = notation
        options.setdefault(
            "widget", forms.TextInput(attrs={"autocomplete": "off", "class": "medium"})
        )
        super().__init__(**options)

    def clean(self, value: Any) -> Any:
        found = set(self._typed(value))
        return [tooth for tooth in (*numbers.UPPER, *numbers.LOWER) if tooth in found]

    def _typed(self, value: Any) -> list[str]:
        """What was typed, as it was typed."""
        text = str(super().clean(value)).strip()
        if not text:
            return []
        return [self._tooth(word) for word in re.split(r"[\s,;]+", text) if word]

    def _tooth(self, word: str) -> str:
        if self.notation == Notation.UNIVERSAL:
            if re.fullmatch(r"0?[1-9]|[12][0-9]|3[0-2]", word):
                return numbers.from_universal(word.lstrip("0"))
            raise forms.ValidationError(
                f"{_short(word)} is not a permanent tooth in Universal numbering. Enter 1 to 32.",
                code="tooth",
            )
        if word in numbers.UPPER or word in numbers.LOWER:
            return word
        raise forms.ValidationError(
            f"{_short(word)} is not a permanent tooth in ISO 3950. Enter 11 to 18, 21 to 28, "
            "31 to 38 or 41 to 48.",
            code="tooth",
        )


class OrderField(TeethField):
    """The same, in the order in which they were typed; no tooth twice."""

    def clean(self, value: Any) -> Any:
        found = self._typed(value)
        twice = next((tooth for tooth in found if found.count(tooth) > 1), None)
        if twice is not None:
            raise forms.ValidationError(
                f"{tooth_number(twice, self.notation)} is named twice. Name each tooth once, in "
                "the order of removal.",
                code="twice",
            )
        return found


def _short(word: str) -> str:
    """What was typed, no longer than a sentence bears."""
    return word if len(word) <= LONGEST_WORD else f"{word[:LONGEST_WORD]}\N{HORIZONTAL ELLIPSIS}"
