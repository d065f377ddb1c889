"""Making a calendar feed: what it is for, which dates, and for how long."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms

from labcases.domain import feeds
from labcases.enums.feeds import FeedKind
from labcases.models import Organisation


class FeedForm(forms.Form):
    feed_name = forms.CharField(
        max_length=40,
        label="Name of the feed",
        help_text="Where it is read, for example Phone.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "medium"}),
        error_messages={"required": "Enter a name, so that you know later which one to stop."},
    )
    feed_kinds = forms.MultipleChoiceField(
        label="Dates",
        choices=FeedKind,
        widget=forms.CheckboxSelectMultiple,
        initial=list(FeedKind.values),
        error_messages={"required": "Choose at least one kind of date."},
    )
    feed_house = forms.ChoiceField(
        label="Cases of", error_messages={"required": "Choose whose cases it holds."}
    )
    feed_months = forms.TypedChoiceField(
        label="It ends after",
        choices=[(n, "1 month" if n == 1 else f"{n} months") for n in feeds.MONTHS],
        coerce=int,
        initial=12,
        error_messages={"required": "Choose after how many months it ends."},
    )

    def __init__(self, *args: Any, houses: list[Organisation], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.houses = {str(one.pk): one for one in houses}
        field: forms.ChoiceField = self.fields["feed_house"]  # type: ignore[assignment]
        field.choices = [
            ("all", "All my houses"),
            *((pk, str(one)) for pk, one in self.houses.items()),
        ]
        self.helper = FormHelper()
        self.helper.add_input(Submit("go", "Make the feed"))

    def values(self) -> dict[str, Any]:
        """What ``feeds.make`` takes."""
        told = self.cleaned_data
        return {
            "called": told["feed_name"],
            "kinds": told["feed_kinds"],
            "organisation": self.houses.get(told["feed_house"]),
            "months": told["feed_months"],
        }
