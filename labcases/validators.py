"""Checks that a value must pass wherever it comes in.

Limits of measured numbers are the engine's own (``occlusion.ranges``), so that a
form, a column and a computation cannot disagree about them.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator

from labcases import codes, notation
from labcases.enums import OpposingTooth, PhotographView, ToothStatus
from occlusion.ranges import LIMITS

DEEPEST_POCKET_MM = 15
"""More than a probe reads: a slip of the finger, not a pocket (common practice, no source)."""


def validate_case_code(value: str) -> None:
    if not codes.is_valid(value):
        raise ValidationError(
            f"{value} is not a case code. Enter the 12 characters printed on the paper; "
            "the last one checks the others.",
            code="case_code",
        )


def validate_patient_code(value: str) -> None:
    """Letters, digits, dots, hyphens: a code, which a name with a blank is not."""
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9./-]{1,29}", value):
        raise ValidationError(
            "A patient code holds 2 to 30 letters, digits, dots, slashes or hyphens and no "
            "blank. Enter the code that your office uses, not a name.",
            code="patient_code",
        )


def validate_tooth(value: str) -> None:
    if value not in notation.UPPER and value not in notation.LOWER:
        raise ValidationError(
            f"{value} is not a permanent tooth in ISO 3950. Enter 11 to 18, 21 to 28, 31 to 38 "
            "or 41 to 48.",
            code="tooth",
        )


def validate_tooth_list(value: Any) -> None:
    if not isinstance(value, list):
        raise ValidationError("Give the teeth as a list of ISO 3950 numbers.", code="teeth")
    for tooth in value:
        validate_tooth(tooth)


def validate_points(value: Any) -> None:
    """Named points with three coordinates each, as a check record holds them."""
    if not isinstance(value, dict):
        raise ValidationError("Give each point under its name.", code="points")
    row = LIMITS["coordinate_mm"]
    for name, point in value.items():
        numbers = point if isinstance(point, list) else []
        if len(numbers) != len("xyz") or not all(
            isinstance(one, int | float) and row.hard_low <= one <= row.hard_high for one in numbers
        ):
            raise ValidationError(
                f"Point {name} has no three coordinates. Enter three numbers from "
                f"{row.hard_low:g} to {row.hard_high:g} mm.",
                code="points",
            )


def _validate_arch(value: Any, allowed: list[str]) -> None:
    if not isinstance(value, dict):
        raise ValidationError("Give one entry for each tooth position.", code="teeth")
    for tooth, status in value.items():
        validate_tooth(tooth)
        if status not in allowed:
            raise ValidationError(
                f"Tooth {tooth} is marked {status}. Choose one of: {', '.join(allowed)}.",
                code="teeth",
            )
    arches = {notation.arch_of(tooth) for tooth in value}
    if len(arches) > 1:
        raise ValidationError("All positions must belong to one arch.", code="teeth")


def validate_teeth(value: Any) -> None:
    _validate_arch(value, ToothStatus.values)


def validate_opposing_teeth(value: Any) -> None:
    _validate_arch(value, OpposingTooth.values)


def validate_probing(value: Any) -> None:
    """Depths by tooth, each as text of a number, so that none is rounded on its way."""
    if not isinstance(value, dict):
        raise ValidationError("Give each depth under its tooth.", code="probing")
    for tooth, depth in value.items():
        validate_tooth(tooth)
        written = isinstance(depth, str) and re.fullmatch(r"\d{1,2}(\.\d)?", depth)
        if not written or Decimal(depth) > DEEPEST_POCKET_MM:
            raise ValidationError(
                f"The depth at {tooth} is {depth}. Enter 0 to {DEEPEST_POCKET_MM} mm, to a tenth.",
                code="probing",
            )


def validate_over_eruption(value: Any) -> None:
    """Heights beyond the occlusal plane by tooth, each as text of a number."""
    if not isinstance(value, dict):
        raise ValidationError("Give each height under its tooth.", code="over_eruption")
    row = LIMITS["over_eruption_mm"]
    for tooth, height in value.items():
        validate_tooth(tooth)
        written = isinstance(height, str) and re.fullmatch(r"\d{1,2}(\.\d{1,2})?", height)
        if not written or not row.hard_low <= float(height) <= row.hard_high:
            raise ValidationError(
                f"The height at {tooth} is {height}. Enter {row.hard_low:g} to {row.hard_high:g} "
                "mm, to a hundredth.",
                code="over_eruption",
            )


def usual(limit: str) -> tuple[Decimal, Decimal]:
    """From where to where a number is usual; outside it is a warning, never a refusal."""
    row = LIMITS[limit]
    return Decimal(str(row.usual_low)), Decimal(str(row.usual_high))


def validate_photographs(value: Any) -> None:
    if not isinstance(value, list) or not set(value) <= set(PhotographView.values):
        raise ValidationError(
            f"Choose the photographs among: {', '.join(PhotographView.values)}.",
            code="photographs",
        )


def within(limit: str, label: str = "") -> list[MinValueValidator | MaxValueValidator]:
    """Validators for a number that the engine limits, refusing in words.

    Parameters
    ----------
    limit : str
        Key of ``occlusion.ranges.LIMITS``.
    label : str, optional
        What the number is called on the page; by default as the engine calls it.
    """
    row = LIMITS[limit]
    return from_to(
        Decimal(str(row.hard_low)),
        Decimal(str(row.hard_high)),
        label=label or row.label,
        unit=row.unit,
        advice=row.advice,
    )


def limits_of(limit: str) -> tuple[Decimal, Decimal]:
    """The engine's hard limits of a number, for what is read from a file."""
    row = LIMITS[limit]
    return Decimal(str(row.hard_low)), Decimal(str(row.hard_high))


def from_to(
    low: Decimal, high: Decimal, *, label: str, unit: str = "", advice: str = ""
) -> list[MinValueValidator | MaxValueValidator]:
    """Validators for a number from ``low`` to ``high``, refusing in words."""
    name = label[:1].upper() + label[1:]
    is_now = f"{name}, is" if "," in name else f"{name} is"
    behind = f" {unit}".replace("%", "%%") if unit else ""
    text = (
        f"{is_now} %(show_value)s{behind}. Enter {_short(low)} to {_short(high)}{behind}{advice}."
    )
    return [MinValueValidator(low, text), MaxValueValidator(high, text)]


def _short(number: Decimal) -> str:
    return f"{number.normalize():f}"
