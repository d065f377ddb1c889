"""The vertical ledger as screen and papers show it: pin values in order, and the predicted lift."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from labcases import notation as numbers
from labcases.domain import calculations, checks, pin_steps
from labcases.domain.pin_steps import PinStep
from labcases.enums import CheckKind
from labcases.models import Case
from labcases.outputs.check_view import to_step
from labcases.templatetags.units import tooth_number

MOVEMENTS = {"protrusive": "Protrusive", "right": "Right lateral", "left": "Left lateral"}
LEAST_LIFT_MM = 0.05
"""Gaps are told in steps of this; a lift below it is none."""


@dataclass(frozen=True)
class StepRow:
    """One pin value; ``text`` has teeth as the reader numbers them."""

    what: str
    by: str
    step: PinStep
    text: str

    @property
    def open(self) -> bool:
        """Whether something of the change is not explained."""
        return self.step.unexplained_mm != 0


@dataclass(frozen=True)
class LiftRow:
    """How far front teeth that are steeper than the table lift the pin on one way."""

    movement: str
    lift_mm: Decimal | None
    at_mm: Decimal | None


def build_context(case: Case, notation: str) -> dict[str, Any]:
    """``pin_rows`` and the ``pin_lifts`` of the kept check, with the source of the ratio."""
    shown = checks.latest(case, CheckKind.CLEARANCE)
    return {
        "pin_rows": [_row(step, notation) for step in pin_steps.of(case)],
        "pin_lifts": [_lift(told) for told in shown.run.findings["excursions"]] if shown else [],
        "pin_lifts_from": shown,
        "least_lift_mm": LEAST_LIFT_MM,
        "pin_source": calculations.PIN_SOURCE,
    }


def _row(step: PinStep, notation: str) -> StepRow:
    entry = step.entry
    return StepRow(
        what=str(entry.get_act_display()),
        by=str(entry.by),
        step=step,
        text=in_numbers(step.text, notation),
    )


def _lift(told: Mapping[str, Any]) -> LiftRow:
    lift, at = told["pin_lift_mm"], told["pin_lift_at_mm"]
    some = bool(lift) and lift >= LEAST_LIFT_MM
    return LiftRow(
        movement=MOVEMENTS[told["excursion"]],
        lift_mm=to_step(lift) if some else None,
        at_mm=Decimal(f"{at:.1f}") if some and at is not None else None,
    )


def in_numbers(text: str, notation: str) -> str:
    """Teeth of a sentence as the reader numbers them; "16 by", never "0.16 mm"."""
    known = "|".join((*numbers.UPPER, *numbers.LOWER))
    return re.sub(
        rf"(?<![\d.])({known})(?= by )", lambda found: tooth_number(found.group(), notation), text
    )
