"""On which weekdays a house is open, days on which it is closed, and days on the road."""

from __future__ import annotations

from typing import Any
from zoneinfo import available_timezones

from crispy_forms.helper import FormHelper
from django import forms

from labcases.domain.calendars import MOST_ROAD_DAYS, WEEKDAYS
from labcases.enums import HouseDayKind
from labcases.forms.dates import DateField
from labcases.models import OfficeLink, Organisation
from labcases.reference.holidays import regions


class WeekForm(forms.Form):
    weekdays = forms.MultipleChoiceField(
        label="Open on",
        choices=[(str(number), name) for number, name in enumerate(WEEKDAYS, start=1)],
        widget=forms.CheckboxSelectMultiple(attrs={"data-across": True}),
        error_messages={"required": "Choose at least one weekday on which the house is open."},
    )
    halves = forms.MultipleChoiceField(
        label="Of these, for half the day",
        required=False,
        choices=[(str(number), name) for number, name in enumerate(WEEKDAYS, start=1)],
        widget=forms.CheckboxSelectMultiple(attrs={"data-across": True}),
        help_text="Two half days count as one working day at the bench. A box is taken in on each.",
    )

    def __init__(self, *args: Any, organisation: Organisation, **kwargs: Any) -> None:
        kwargs["initial"] = {
            "weekdays": list(organisation.open_weekdays),
            "halves": list(organisation.half_weekdays),
        }
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.form_tag = False

    def numbers(self, name: str) -> list[int]:
        return [int(number) for number in self.cleaned_data[name]]


def _lists() -> list[tuple[str, Any]]:
    """Every list of public holidays, by country."""
    found: dict[str, list[tuple[str, str]]] = {}
    for region in regions().values():
        found.setdefault(region.country, []).append((region.key, region.words))
    return [("", "None"), *found.items()]


class HolidaysForm(forms.Form):
    """Whose public holidays a house keeps."""

    whose = forms.ChoiceField(
        label="Public holidays of",
        required=False,
        choices=_lists,
        error_messages={"invalid_choice": "Choose one of the lists that are offered, or none."},
    )

    def __init__(self, data: Any = None, *, organisation: Organisation) -> None:
        super().__init__(data, initial={"whose": organisation.holiday_region})
        self.helper = FormHelper()
        self.helper.form_tag = False


class HolidayForm(forms.Form):
    """One public holiday on which a house works; the box is filled by the button."""

    holiday = DateField(
        label="Public holiday",
        widget=forms.HiddenInput,
        error_messages={"required": "Choose a public holiday of the list."},
    )


def _zones() -> list[tuple[str, Any]]:
    """Every zone that is named after a place, by continent."""
    found: dict[str, list[tuple[str, str]]] = {}
    for name in sorted(available_timezones()):
        continent, _slash, place = name.partition("/")
        if place and continent not in ("Etc", "SystemV", "posix", "right"):
            found.setdefault(continent, []).append((name, place.replace("_", " ")))
    return [("", "The zone of the server"), *found.items()]


class ZoneForm(forms.Form):
    """In which time zone a house is."""

    zone = forms.ChoiceField(
        label="Time zone",
        required=False,
        choices=_zones,
        error_messages={"invalid_choice": "Choose one of the time zones that are offered."},
    )

    def __init__(self, data: Any = None, *, organisation: Organisation) -> None:
        super().__init__(data, initial={"zone": organisation.time_zone})
        self.helper = FormHelper()
        self.helper.form_tag = False


def _hour(label: str) -> forms.TimeField:
    return forms.TimeField(
        label=label,
        required=False,
        input_formats=["%H:%M"],
        widget=forms.TimeInput(
            format="%H:%M", attrs={"class": "short", "autocomplete": "off", "type": "text"}
        ),
        error_messages={"invalid": f"{label}: write the time like 08:00."},
    )


class HoursForm(forms.Form):
    """From when to when a house is open on its open days."""

    opens_at = _hour("Opens at")
    closes_at = _hour("Closes at")

    def __init__(self, data: Any = None, *, organisation: Organisation) -> None:
        stored = {"opens_at": organisation.opens_at, "closes_at": organisation.closes_at}
        super().__init__(data, initial=stored)
        self.helper = FormHelper()
        self.helper.form_tag = False


class ClosedForm(forms.Form):
    first = DateField(
        label="Closed on", error_messages={"required": "Enter the day on which it is closed."}
    )
    how = forms.ChoiceField(
        label="Closed for",
        choices=[(HouseDayKind.CLOSED, "the whole day"), (HouseDayKind.HALF, "half the day")],
        initial=HouseDayKind.CLOSED,
        widget=forms.RadioSelect(attrs={"data-across": True}),
        error_messages=dict.fromkeys(
            ("required", "invalid_choice"), "Choose the whole day or half the day."
        ),
    )
    last = DateField(
        label="Until", required=False, help_text="The last day, when it is more than one."
    )
    reason = forms.CharField(
        label="Reason",
        max_length=80,
        help_text="For example stock-taking. Both houses read it.",
        error_messages={"required": "Enter why it is closed."},
    )


class RoadForm(forms.Form):
    """Days on the road between two houses."""

    days = forms.IntegerField(
        label="Open days on the road",
        min_value=0,
        max_value=MOST_ROAD_DAYS,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "short"}),
        error_messages=dict.fromkeys(
            ("required", "invalid", "min_value", "max_value"),
            f"Enter 0 to {MOST_ROAD_DAYS} days; 0 means the same day.",
        ),
    )

    def __init__(self, data: Any = None, *, link: OfficeLink) -> None:
        """Name the box after the link: a page holds one form for each."""
        super().__init__(data, auto_id=f"id_road{link.pk}_%s", initial={"days": link.road_days})
        self.link = link
