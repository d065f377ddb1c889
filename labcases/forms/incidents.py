"""Reporting what went wrong, closing it, and reading again whose case it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from copy import copy
from datetime import date
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from labcases.domain import casts
from labcases.domain.foreseeing import Report
from labcases.enums import Stage
from labcases.forms.choices import TeethField
from labcases.forms.dates import DateField, not_after_extractions
from labcases.models import Case, Cast
from labcases.reference.incidents import Kind
from labcases.templatetags.units import long_date

LONGEST = 1000

TEETH_HELP = "ISO 3950 numbers, such as 13 or 16 17. The preview says them in words."
TEETH_HELP_UNIVERSAL = "Universal numbers, such as 6 or 2 3. The preview says them in words."


class ReportForm(forms.Form):
    """The details of one kind of incident; which boxes there are is the kind's to say."""

    answer = forms.ChoiceField(
        widget=forms.RadioSelect, error_messages={"required": "Choose one of the answers."}
    )
    teeth = TeethField(
        label="Which tooth, or which teeth",
        error_messages={"required": "Enter the tooth, by its number."},
    )
    cast = forms.ChoiceField(label="Which of the casts entered here", required=False)
    allergy = forms.CharField(
        label="What the patient is allergic to",
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Name what the patient is allergic to, as it was reported."},
    )
    new_day = DateField(
        label="New surgery day",
        required=False,
        help_text="For example 12-Mar-2027. Leave it empty while the day is not known.",
    )
    text = forms.CharField(
        label="What happened",
        max_length=LONGEST,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="No names of patients: the patient's code is enough.",
        error_messages={"required": "Write what happened, in a few words."},
    )
    seen = forms.ChoiceField(choices=Stage, widget=forms.HiddenInput)
    seen_last = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    def __init__(
        self,
        *args: Any,
        case: Case,
        kind: Kind,
        answers: Mapping[str, str],
        casts_here: Iterable[Cast] = (),
        notation: str = "ISO 3950",
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.case, self.kind = case, kind
        self.casts = {str(one.pk): one for one in casts_here}
        self._only(answers, notation)

    def _only(self, answers: Mapping[str, str], notation: str) -> None:
        """Leave out what this kind does not ask."""
        if answers:
            self.fields["answer"].label = f"{self.kind.question}?"
            self.fields["answer"].choices = list(answers.items())  # type: ignore[attr-defined]
            if len(answers) == 1:
                self.fields["answer"].initial = next(iter(answers))
        else:
            del self.fields["answer"]
        for name, asked in (("teeth", "teeth"), ("allergy", "allergy"), ("new_day", "day")):
            if asked not in self.kind.asks:
                del self.fields[name]
        if "cast" in self.kind.asks and self.casts:
            self.fields["cast"].choices = [  # type: ignore[attr-defined]
                ("", "Not entered here, or not known"),
                *((key, _words(one)) for key, one in self.casts.items()),
            ]
        else:
            del self.fields["cast"]
        if "teeth" in self.fields:
            universal = notation == "Universal"
            self.fields["teeth"].notation = notation  # type: ignore[attr-defined]
            self.fields["teeth"].help_text = TEETH_HELP_UNIVERSAL if universal else TEETH_HELP

    def clean_new_day(self) -> date | None:
        """A day to come, after every extraction that is signed, as where the day is moved."""
        day: date | None = self.cleaned_data["new_day"]
        if day and day < timezone.localdate():
            raise ValidationError(
                f"{long_date(day)} is past. Enter the new day, or leave it empty until it is known."
            )
        said = list(not_after_extractions(self.case, day))
        if said:
            raise ValidationError(said)
        return day

    def report(self) -> Report:
        """What ``domain.incident.report`` takes."""
        told = self.cleaned_data
        return Report(
            kind=self.kind,
            text=told["text"],
            answer=told.get("answer", ""),
            teeth=told.get("teeth", []),
            cast=self.casts.get(told.get("cast", "")),
            allergy=told.get("allergy", ""),
            new_day=told.get("new_day"),
        )

    def hidden(self) -> list[tuple[str, str]]:
        """What was typed, to be carried by the preview and sent again."""
        return [(name, str(self.data.get(name, ""))) for name in self.fields if name in self.data]

    def show_now(self, *, seen: str, seen_last: int) -> None:
        """Keep what was typed, but start the next try from where the case stands now."""
        changed = cast(dict[str, Any], copy(self.data))
        changed["seen"], changed["seen_last"] = seen, str(seen_last)
        self.data = changed


def _words(row: Cast) -> str:
    name = casts.name_of(row)
    return f"{name[:1].upper()}{name[1:]}"


class CloseForm(forms.Form):
    """What was done about it."""

    done = forms.CharField(
        label="What was done about it",
        max_length=LONGEST,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Write what was done about it."},
    )


class StrikeForm(forms.Form):
    """Why the report was wrong."""

    reason = forms.CharField(
        label="Why the report is wrong",
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Give the reason why the report is struck out."},
    )


class IdentityForm(forms.Form):
    """Both identifiers, as they were read off the things and off the chart."""

    case_code = forms.CharField(
        label="Case code, as it stands on the things in your hand",
        max_length=20,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium code"}),
        error_messages={"required": "Read the case code off the things and type it."},
    )
    patient_code = forms.CharField(
        label="Patient code, as it stands on the things or on the chart",
        max_length=30,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium code"}),
        error_messages={
            "required": "Read the patient code off the things or the chart and type it."
        },
    )
