"""The figures of a case as plain values: height budget, vertical ledger, remount.

They are worked out from the rows alone, so that whoever has the rows gets the same figures.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from labcases.domain import calculations, ledger, pin_steps, remount_ledger
from labcases.domain.calculations import inputs
from labcases.enums import CheckKind
from labcases.models import Case

Plain = dict[str, Any]

FIGURES = ("height_budget", "vertical_ledger", "after_processing")


def of_case(case: Case) -> Plain:
    """What is recomputed of a case, part by part."""
    return {
        "height_budget": calculations.answer(CheckKind.HEIGHT, inputs.height(case)),
        "vertical_ledger": _ledger(case),
        "after_processing": _after_processing(case),
    }


def _ledger(case: Case) -> Plain:
    told = ledger.balance(case)
    return {
        "zero_mm": _mm(told.zero_mm),
        "agreed_mm": _mm(told.agreed_mm),
        "reading_mm": _mm(told.reading_mm),
        "difference_mm": _mm(told.difference_mm),
        "balanced": told.balanced,
        "steps": [
            {
                "key": step.entry.pk,
                "from_zero_mm": _mm(step.from_zero_mm),
                "change_mm": _mm(step.change_mm),
                "unexplained_mm": _mm(step.unexplained_mm),
                "text": step.text,
            }
            for step in pin_steps.of(case)
        ],
    }


def _after_processing(case: Case) -> Plain:
    told = remount_ledger.of(case)
    return {
        "rise_mm": _mm(told.rise_mm),
        "highest_mm": _mm(told.highest_mm),
        "accepted_mm": _mm(told.accepted_mm),
        "left_mm": _mm(told.left_mm),
        "balanced": told.balanced,
        "steps": [
            {"key": step.entry.pk, "change_mm": _mm(step.change_mm), "text": step.text}
            for step in remount_ledger.steps(case)
        ],
    }


def _mm(value: Decimal | None) -> str | None:
    """Millimetres as text, without zeros that say nothing."""
    return None if value is None else f"{value.normalize() + Decimal('0'):f}"
