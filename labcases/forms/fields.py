"""Fields for measured numbers: unit beside the box, comma or point, limits in words."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from labcases.validators import within

UNITS = {"_mm": "mm", "_deg": "°", "_minutes": "min", "_days": "days"}


def unit_of(name: str) -> str:
    """The unit that a field's name ends in, or nothing."""
    return next((unit for ending, unit in UNITS.items() if name.endswith(ending)), "")


class MeasureField(forms.DecimalField):
    """A number with its unit. Takes ``30,5`` and ``30.5``, and ``1.5 mm`` when pasted.

    Parameters
    ----------
    unit : str
        Shown beside the box and cut off when it was pasted with the number.
    limit : str, optional
        Key of ``occlusion.ranges.LIMITS``: the engine's own hard limits.
    """

    def __init__(self, *, unit: str = "", limit: str = "", **options: Any) -> None:
        self.unit = unit
        widget = forms.TextInput(
            attrs={
                "inputmode": "decimal",
                "autocomplete": "off",
                "data-unit": unit,
                "class": "number",
            }
        )
        options.setdefault("widget", widget)
        super().__init__(**options)
        self.error_messages["invalid"] = "Enter a number, for example 1.5 or 1,5."
        if limit:
            self.validators += within(limit)

    def to_python(self, value: Any) -> Decimal | None:
        if isinstance(value, str):
            value = value.strip().removesuffix(self.unit).removesuffix("deg").strip()
            value = value.replace(",", ".")
        return super().to_python(value)

    def prepare_value(self, value: Any) -> Any:
        """Show 0.5, not 0.50, and 5, not 5.00."""
        if isinstance(value, Decimal):
            return f"{value.normalize():f}"
        return value
