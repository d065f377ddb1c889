"""Fields for measured numbers: unit beside the box, comma or point, limits in words."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from labcases.validators import from_to, within

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
    bounds : (str, str), optional
        Lowest and highest value of a number that the engine does not know.
    """

    def __init__(
        self,
        *,
        unit: str = "",
        limit: str = "",
        bounds: tuple[str, str] | None = None,
        **options: Any,
    ) -> None:
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
        label = str(self.label or "")
        if label and "required" not in options.get("error_messages", {}):
            self.error_messages["required"] = f"{label}: enter a number."
        if limit:
            self.validators += within(limit, label)
        elif bounds:
            low, high = (Decimal(bound) for bound in bounds)
            self.validators += from_to(
                low, high, label=label or "This number", unit=unit.replace("°", "deg")
            )

    def to_python(self, value: Any) -> Any:
        if isinstance(value, str):
            value = value.strip().removesuffix(self.unit).removesuffix("deg").strip()
            value = value.replace(",", ".")
        return super().to_python(value)

    def prepare_value(self, value: Any) -> Any:
        """Show 0.5, not 0.50, and 5, not 5.00."""
        if isinstance(value, Decimal):
            return f"{value.normalize():f}"
        return value
