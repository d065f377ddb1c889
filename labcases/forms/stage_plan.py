"""A row a stage and a row a piece of work: its name, and the working days of a house."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases.domain import stage_plan
from labcases.enums import Stage
from labcases.enums.dates import Work
from labcases.models import Organisation


class StagePlanForm(forms.Form):
    """Empty boxes mean the usual name and the usual days."""

    def __init__(self, *args: Any, house: Organisation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.house = house
        for number, row in enumerate(stage_plan.rows(house)):
            self.fields[f"name_{number}"] = forms.CharField(
                label=f"Own name of {row.stage.label}",
                required=False,
                max_length=stage_plan.LONGEST_NAME,
                initial=row.name,
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )
        for number, piece in enumerate(stage_plan.pieces(house)):
            least = 0 if piece.usual == 0 else 1
            self.fields[f"days_{number}"] = forms.IntegerField(
                label=f"Own working days of {piece.work.label}",
                required=False,
                min_value=least,
                max_value=stage_plan.MOST_DAYS,
                initial=piece.days,
                widget=forms.TextInput(attrs={"class": "short", "inputmode": "numeric"}),
                error_messages={
                    "invalid": f"{piece.work.label}: write the days as a whole number.",
                    "min_value": f"{piece.work.label} takes at least {least} working day"
                    f"{'' if least == 1 else 's'}.",
                    "max_value": f"{piece.work.label} takes at most "
                    f"{stage_plan.MOST_DAYS} working days.",
                },
            )
        self.helper = FormHelper()
        self.helper.form_tag = False

    def rows(self) -> list[tuple[stage_plan.Row, Any]]:
        """Each stage with its box, for the table."""
        found = stage_plan.rows(self.house)
        return [(row, self[f"name_{number}"]) for number, row in enumerate(found)]

    def pieces(self) -> list[tuple[stage_plan.Piece, Any]]:
        """Each piece of work with its box, for the table."""
        found = stage_plan.pieces(self.house)
        return [(piece, self[f"days_{number}"]) for number, piece in enumerate(found)]

    def names(self) -> dict[str, str]:
        return {
            stage.value: text
            for number, stage in enumerate(Stage)
            if (text := self.cleaned_data.get(f"name_{number}"))
        }

    def days(self) -> dict[str, int]:
        """Own working days by the value of a piece of work; 0 is a number of days as well."""
        works: list[Work] = stage_plan.works(self.house)
        return {
            work.value: days
            for number, work in enumerate(works)
            if (days := self.cleaned_data.get(f"days_{number}")) is not None
        }
