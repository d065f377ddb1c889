"""Days: typed in any form that reads one way only, shown as 12-Mar-2027."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from labcases.domain import calendars, pairs
from labcases.enums import AppointmentKind, AppointmentStatus, PrescriptionStatus
from labcases.forms.base import PartForm, with_version
from labcases.models import Appointment, Case
from labcases.templatetags.units import MONTHS, long_date

FULL_MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
WEEKDAYS = r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*[\s,.-]+"
EARLIEST_YEAR, LATEST_YEAR = 2000, 2100

_WORDS = re.compile(r"(\d{1,2})[\s.-]*([a-z]+)[\s.,-]*(\d{2,4})")
_MONTH_FIRST = re.compile(r"([a-z]+)[\s.-]*(\d{1,2})[\s.,-]+(\d{2,4})")
_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
_FIGURES = re.compile(r"(\d{1,2})\s*[-/.]\s*(\d{1,2})\s*[-/.]\s*(\d{2,4})")

HOW = "Write the day like 12-Mar-2027."


class DateField(forms.DateField):
    """A day in one text box.

    Takes ``12-Mar-2027``, ``12 March 2027``, ``Mar 12, 2027`` and ``2027-03-12``, with or
    without the weekday. Figures alone are taken only where they read one way:
    ``25/12/2027`` yes, ``03/04/2027`` no.
    """

    def __init__(self, **options: Any) -> None:
        options.setdefault(
            "widget", forms.TextInput(attrs={"autocomplete": "off", "class": "medium"})
        )
        options.setdefault("help_text", "For example 12-Mar-2027")
        super().__init__(**options)

    def to_python(self, value: Any) -> date | None:
        if isinstance(value, str):
            return read_date(value)
        return super().to_python(value)

    def prepare_value(self, value: Any) -> Any:
        return long_date(value) if isinstance(value, date) else value

    def has_changed(self, initial: Any, data: Any) -> bool:
        try:
            return self.to_python(initial) != self.to_python(data)
        except ValidationError:
            return True


def read_date(text: str) -> date | None:
    """The day that a text names; nothing for an empty text.

    Raises
    ------
    ValidationError
        The text names no day, or reads two ways; the message says how to write it.
    """
    plain = text.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NON-BREAKING HYPHEN}", "-")
    wanted = " ".join(plain.split()).lower()
    if not wanted:
        return None
    bare = re.sub(f"^{WEEKDAYS}", "", wanted)
    if found := _YEAR_FIRST.fullmatch(bare):
        return _day(text, found[1], int(found[2]), found[3])
    if found := _WORDS.fullmatch(bare):
        return _day(text, found[3], _month(text, found[2]), found[1])
    if found := _MONTH_FIRST.fullmatch(bare):
        return _day(text, found[3], _month(text, found[1]), found[2])
    if found := _FIGURES.fullmatch(bare):
        return _from_figures(text, int(found[1]), int(found[2]), found[3])
    raise ValidationError(f"{text.strip()} is not a day. {HOW}", code="day")


def _month(text: str, word: str) -> int:
    """Three letters or more of an English month's name."""
    found = [n for n, name in enumerate(FULL_MONTHS, start=1) if name.startswith(word)]
    if len(word) < 3 or len(found) != 1:
        raise ValidationError(f"{text.strip()} names no month that is known. {HOW}", code="month")
    return found[0]


def _from_figures(text: str, first: int, second: int, year: str) -> date:
    _year(text, year)
    if first > 12 or first == second:
        return _day(text, year, second, str(first))
    if second > 12:
        return _day(text, year, first, str(second))
    raise ValidationError(
        f"{text.strip()} can be read two ways: {first} {MONTHS[second - 1]} or {second} "
        f"{MONTHS[first - 1]}. Write the month in letters, as in {first:02d}-"
        f"{MONTHS[second - 1]}-{year}.",
        code="ambiguous",
    )


def _year(text: str, year: str) -> int:
    if len(year) != 4:
        raise ValidationError(f"Write the year of {text.strip()} with four digits.", code="year")
    if not EARLIEST_YEAR <= int(year) <= LATEST_YEAR:
        raise ValidationError(
            f"The year is {year}. Enter a year from {EARLIEST_YEAR} to {LATEST_YEAR}.",
            code="year",
        )
    return int(year)


def _day(text: str, year: str, month: int, day: str) -> date:
    found = _year(text, year)
    try:
        return date(found, month, int(day))
    except ValueError:
        raise ValidationError(
            f"There is no {text.strip()} in the calendar. {HOW}", code="day"
        ) from None


def not_after_extractions(case: Case, on: date | None) -> Iterator[str]:
    """Say why surgery cannot be on a day: every signed extraction lies before it.

    Those of a linked case as well, because the day moves there too.
    """
    other = pairs.goes_along(case)
    for one in (case, other) if other else (case,):
        signed = one.prescription
        first = signed.first_extraction_on
        if on and first and on <= first and signed.status == PrescriptionStatus.SIGNED:
            whose = "" if one == case else f" of linked case {pairs.named(one)}"
            yield (
                f"The signed prescription{whose} extracts the first teeth on "
                f"{long_date(first)}, and surgery comes after that. Choose a later day than "
                f"{long_date(on)}, or ask the dentist for the next revision."
            )


class SurgeryForm(forms.Form):
    """The one day that everything is planned back from."""

    surgery_on = DateField(
        label="Surgery and delivery day",
        required=False,
        help_text="For example 12-Mar-2027. After a change the dentist confirms it again.",
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "class": "medium", "data-needed": True}
        ),
    )
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, case: Case, **kwargs: Any) -> None:
        self.case = case
        kwargs["initial"] = {"surgery_on": case.surgery_on, "version": case.version}
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        """Take the stored day where the person chose it after a conflict."""
        cleaned = super().clean() or self.cleaned_data
        if self.data.get("keep-surgery_on") == "stored":
            cleaned["surgery_on"] = self.case.surgery_on
            self.errors.pop("surgery_on", None)
            return cleaned
        for said in not_after_extractions(self.case, cleaned.get("surgery_on")):
            self.add_error("surgery_on", said)
        return cleaned

    def show_stored(self, version: int) -> None:
        """Keep what was typed, but start the next try from the stored version."""
        self.data = with_version(self.data, "version", version)


class MoveForm(forms.Form):
    """Another surgery day to look at; nothing is moved by it."""

    surgery_on = DateField(
        label="Another surgery day",
        error_messages={"required": "Enter the day that you want to look at."},
        help_text="For example 12-Mar-2027. Nothing is moved yet.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
    )

    def __init__(self, *args: Any, case: Case, **kwargs: Any) -> None:
        self.case = case
        super().__init__(*args, **kwargs)

    def clean_surgery_on(self) -> date | None:
        """Refuse what could not be moved, and the day that it has already."""
        on: date | None = self.cleaned_data["surgery_on"]
        if on and on == self.case.surgery_on:
            raise ValidationError(
                f"Surgery is on {long_date(on)} already. Enter another day.", code="same"
            )
        for said in not_after_extractions(self.case, on):
            raise ValidationError(said, code="extractions")
        return on


class ConfirmForm(forms.Form):
    """Which version of the case the dentist had in front of them."""

    version = forms.IntegerField(widget=forms.HiddenInput)


class AppointmentForm(PartForm):
    """A date at the office or between the two houses."""

    kind = forms.ChoiceField(
        label="What it is for",
        choices=[("", "Choose one"), *AppointmentKind.choices],
        error_messages={"required": "Choose what the date is for."},
    )
    on = DateField(label="Day", error_messages={"required": "Enter the day."})

    class Meta:
        model = Appointment
        fields = ("kind", "on", "status", "note")
        labels = {"status": "State", "note": "Note"}

    def __init__(self, *args: Any, case: Case, proposes_only: bool = False, **kwargs: Any) -> None:
        """Leave the state out for people who only propose; the office books."""
        self.case = case
        super().__init__(*args, **kwargs)
        if proposes_only:
            del self.fields["status"]

    def clean(self) -> dict[str, Any]:
        """Refuse what cannot be: done on a day that is ahead, a review before the surgery."""
        cleaned = super().clean() or self.cleaned_data
        on, surgery = cleaned.get("on"), self.case.surgery_on
        today = calendars.today_of(self.case.office)
        if on and cleaned.get("status") == AppointmentStatus.DONE and on > today:
            self.add_error(
                "on", f"{long_date(on)} is ahead: it cannot be done yet. Leave it as booked."
            )
        if on and cleaned.get("kind") == AppointmentKind.REVIEW and surgery and on < surgery:
            self.add_error(
                "on", f"A review comes after the surgery on {long_date(surgery)}. Check both days."
            )
        return cleaned
