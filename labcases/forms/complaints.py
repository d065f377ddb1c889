"""A complaint as it is told, and what is added to it. The forms clean; a domain verb stores."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from crispy_forms.helper import FormHelper
from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from labcases.domain import incident as incidents
from labcases.enums.complaints import ComplaintAct, Concern, Gravity, Outcome, Reporter
from labcases.forms.asking import ask_again
from labcases.forms.dates import DateField
from labcases.models import Incident
from labcases.templatetags.units import long_date

LONGEST = 1000
NO_NAMES = "Neither names nor codes of patients: the paper for outsiders prints this."


def _choice(label: str, choices: type[Any], missing: str, **more: Any) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        choices=[("", "Choose"), *choices.choices],
        error_messages={"required": missing, "invalid_choice": missing},
        **more,
    )


def _text(label: str, missing: str = "", **more: Any) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=LONGEST,
        required=bool(missing),
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": missing},
        **more,
    )


def _past(day: date | None, what: str) -> date | None:
    if day and day > timezone.localdate():
        raise ValidationError(f"{what}: {long_date(day)} lies ahead. Enter when it was.")
    return day


class _Plain(forms.Form):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.form_tag = False


class ComplaintForm(_Plain):
    """What happened, when it became known, who told it, and what it is about."""

    said = _text("What happened", "Write what happened, in a few words.", help_text=NO_NAMES)
    grave = _choice(
        "How grave it is",
        Gravity,
        "Choose how grave it is, as far as it is known; it can be weighed anew later.",
        help_text="When in doubt, choose the graver one: it can be weighed anew.",
    )
    about = _choice("About", Concern, "Choose what it is about.")
    lot_named = forms.CharField(
        label="Lot, where one is in doubt",
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
    )
    day = DateField(
        label="When it happened", required=False, help_text="Leave it empty while it is not known."
    )
    known = DateField(
        label="When this house came to know of it",
        help_text="Days within which somebody must be told count from here.",
        error_messages={"required": "Enter the day on which your house came to know of it."},
    )
    teller = _choice("Who told it", Reporter, "Choose who told it first.")
    hangs_on = forms.ChoiceField(
        label="What went wrong with the case before",
        required=False,
        help_text="Where one hangs on the other.",
    )

    def __init__(
        self,
        *args: Any,
        incidents_here: Iterable[Incident] = (),
        left_on: date | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.left_on = left_on
        self.reports = {str(one.pk): one for one in incidents_here}
        self.initial.setdefault("known", long_date(timezone.localdate()))
        if not self.reports:
            del self.fields["hangs_on"]
            return
        self.fields["hangs_on"].choices = [  # type: ignore[attr-defined]
            ("", "None of these"),
            *(
                (key, f"{long_date(one.at)}: {incidents.in_words(one)}")
                for key, one in self.reports.items()
            ),
        ]

    def clean_day(self) -> date | None:
        return _past(self.cleaned_data["day"], "When it happened")

    def clean_known(self) -> date | None:
        return _past(self.cleaned_data["known"], "When this house came to know of it")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        day, known = cleaned.get("day"), cleaned.get("known")
        if day and known and known < day:
            self.add_error(
                "known",
                f"It happened on {long_date(day)}, so it cannot have been known on "
                f"{long_date(known)}. Correct one of the days.",
            )
        if day and self.left_on and day < self.left_on:
            self._ask_of_early_day(day, self.left_on)
        return cleaned

    def _ask_of_early_day(self, day: date, left_on: date) -> None:
        ask_again(
            self,
            at="day",
            tick="day_meant",
            value=day,
            question=f"The denture left the laboratory on {long_date(left_on)}, so nothing can "
            f"have happened with it in a mouth on {long_date(day)}. What went wrong before it "
            "left is reported on the page of what went wrong.",
            label=f"It happened on {long_date(day)}, before the denture left",
        )
        names = [name for name in self.fields if name != "day_meant"]
        names.insert(names.index("day") + 1, "day_meant")
        self.order_fields(names)

    def values(self) -> dict[str, Any]:
        """What ``domain.complaints.enter`` takes."""
        told = self.cleaned_data
        return {
            "text": told["said"],
            "gravity": told["grave"],
            "concern": told["about"],
            "lot": told["lot_named"],
            "happened_on": told["day"],
            "known_on": told["known"],
            "reporter": told["teller"],
            "incident": self.reports.get(told.get("hangs_on", "")),
        }


TITLES = {
    ComplaintAct.LOOKED: "Write what was found out",
    ComplaintAct.TOLD: "Write who was told",
    ComplaintAct.CLOSED: "Close the complaint",
    ComplaintAct.AGAIN: "Open it again",
}


class EntryForm(_Plain):
    """One entry, of the act that the form is for."""

    act: ComplaintAct

    day = DateField(label="Day", error_messages={"required": "Enter the day on which it was done."})

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", f"id_{self.act}_%s")
        super().__init__(*args, **kwargs)
        self.initial.setdefault("day", long_date(timezone.localdate()))

    def clean_day(self) -> date | None:
        return _past(self.cleaned_data["day"], "Day")

    @property
    def title(self) -> str:
        return TITLES[self.act]

    def values(self) -> dict[str, Any]:
        """What ``domain.complaints.add`` takes."""
        told = self.cleaned_data
        return {
            "act": self.act,
            "happened_on": told["day"],
            "text": told.get("said", ""),
            "whom": told.get("told", ""),
            "gravity": told.get("weighed", ""),
            "outcome": told.get("cause", ""),
        }


class LookedForm(EntryForm):
    act = ComplaintAct.LOOKED
    said = _text("What was found out", "Write what was found out.", help_text=NO_NAMES)
    weighed = forms.ChoiceField(
        label="How grave it is now",
        required=False,
        choices=[("", "As before"), *Gravity.choices],
    )


class ToldForm(EntryForm):
    act = ComplaintAct.TOLD
    told = forms.CharField(
        label="Who was told",
        max_length=120,
        help_text="For example: the supplier of the resin, the authority, the office.",
        error_messages={"required": "Say who was told."},
    )
    said = _text("What they were told, with their number for it")


class ClosedForm(EntryForm):
    act = ComplaintAct.CLOSED
    cause = _choice("What it turned out to be", Outcome, "Choose what it turned out to be.")
    said = _text("What was done about it", "Write what was done about it.", help_text=NO_NAMES)


class AgainForm(EntryForm):
    act = ComplaintAct.AGAIN
    said = _text("Why it is opened again", "Write why it is opened again.")


FORMS: dict[ComplaintAct, type[EntryForm]] = {
    one.act: one for one in (LookedForm, ToldForm, ClosedForm, AgainForm)
}
