"""A period in the address of a page: its first and last day, and one office where wanted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils import timezone

from labcases.forms.dates import DateField
from labcases.models import Organisation
from labcases.templatetags.units import long_date

USUAL_DAYS = 365
"""How far back a page looks where nobody said otherwise (common practice, no source)."""


class PeriodForm(forms.Form):
    since = DateField(label="From", required=False, help_text="")
    until = DateField(label="To", required=False, help_text="")
    house = forms.ChoiceField(label="Office", required=False)

    def __init__(self, data: Any, *, offices: Iterable[Organisation]) -> None:
        today = timezone.localdate()
        self.usual = (today - timedelta(days=USUAL_DAYS), today)
        shown = {"since": long_date(self.usual[0]), "until": long_date(self.usual[1])}
        super().__init__({**shown, **{name: data[name] for name in data}})
        self.fields["house"].choices = [  # type: ignore[attr-defined]
            ("", "All"),
            *((str(one.pk), one.name) for one in offices),
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.errors:
            first, last = self.span
            if last < first:
                self.add_error("until", "The last day lies before the first. Check both days.")
        return cleaned

    @property
    def span(self) -> tuple[date, date]:
        """First and last day; the last year where one is left out."""
        told = getattr(self, "cleaned_data", {})
        return told.get("since") or self.usual[0], told.get("until") or self.usual[1]

    @property
    def office(self) -> int | None:
        said = getattr(self, "cleaned_data", {}).get("house", "")
        return int(said) if said else None
