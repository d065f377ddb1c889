"""Fields for measured numbers: unit beside the box, comma or point, limits in words."""

from __future__ import annotations

from collections.abc import Mapping
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
        label = str(self.label or "")
        self._name(label, given=options.get("error_messages", {}))
        if limit:
            self.validators += within(limit, label)
        elif bounds:
            low, high = (Decimal(bound) for bound in bounds)
            self.validators += from_to(
                low, high, label=label or "This number", unit=unit.replace("°", "deg")
            )

    def _name(self, label: str, given: Mapping[str, str]) -> None:
        """Name the field in each refusal: the summary above a form stands away from it."""
        most, places = self.max_digits, self.decimal_places
        whole = most - places if most is not None and places is not None else None
        for code, asked in (
            ("invalid", "enter a number, for example 1.5 or 1,5."),
            ("required", "enter a number."),
            ("max_digits", f"enter at most {most} digits."),
            ("max_decimal_places", f"enter at most {places} decimals."),
            ("max_whole_digits", f"enter at most {whole} digits before the point."),
        ):
            if code not in given and (label or code == "invalid"):
                said = asked if label else f"{asked[:1].upper()}{asked[1:]}"
                self.error_messages[code] = f"{label}: {said}" if label else said

    def to_python(self, value: Any) -> Any:
        if isinstance(value, str):
            value = value.strip().removesuffix(self.unit).removesuffix("deg").strip()
            value = value.replace(",", ".")
        found = super().to_python(value)
        # A signalling NaN cannot even be compared with what stood before.
        if isinstance(found, Decimal) and not found.is_finite():
            raise forms.ValidationError(self.error_messages["invalid"], code="invalid")
        return found

    def prepare_value(self, value: Any) -> Any:
        """Show 0.5, not 0.50, and 5, not 5.00."""
        if isinstance(value, Decimal):
            return f"{value.normalize():f}"
        return value
