"""A row a stage: what the laboratory calls it, and its working days."""

from __future__ import annotations

from typing import Any

from crispy_forms.helper import FormHelper
from django import forms

from labcases.domain import stage_plan
from labcases.enums import Stage
from labcases.models import Organisation


class StagePlanForm(forms.Form):
    """Empty boxes mean the usual name and the usual days."""

    def __init__(self, *args: Any, laboratory: Organisation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.laboratory = laboratory
        timed = stage_plan.timed()
        for number, row in enumerate(stage_plan.rows(laboratory)):
            self.fields[f"name_{number}"] = forms.CharField(
                label=f"Own name of {row.stage.label}",
                required=False,
                max_length=stage_plan.LONGEST_NAME,
                initial=row.name,
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )
            if row.stage in timed:
                self.fields[f"days_{number}"] = forms.IntegerField(
                    label=f"Own working days of {row.stage.label}",
                    required=False,
                    min_value=1,
                    max_value=stage_plan.MOST_DAYS,
                    initial=row.days,
                    widget=forms.TextInput(attrs={"class": "short", "inputmode": "numeric"}),
                    error_messages={
                        "invalid": f"{row.stage.label}: write the days as a whole number.",
                        "min_value": f"{row.stage.label} takes at least 1 working day.",
                        "max_value": f"{row.stage.label} takes at most "
                        f"{stage_plan.MOST_DAYS} working days.",
                    },
                )
        self.helper = FormHelper()
        self.helper.form_tag = False

    def rows(self) -> list[tuple[stage_plan.Row, Any, Any]]:
        """Each stage with its boxes, for the table."""
        return [
            (
                row,
                self[f"name_{number}"],
                self[f"days_{number}"] if f"days_{number}" in self.fields else None,
            )
            for number, row in enumerate(stage_plan.rows(self.laboratory))
        ]

    def names(self) -> dict[str, str]:
        return {
            stage.value: text
            for number, stage in enumerate(Stage)
            if (text := self.cleaned_data.get(f"name_{number}"))
        }

    def days(self) -> dict[str, int]:
        return {
            stage.value: number_of_days
            for number, stage in enumerate(Stage)
            if (number_of_days := self.cleaned_data.get(f"days_{number}"))
        }
