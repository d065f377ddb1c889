"""The one door to the engine: a case's record in, findings out.

Nothing else in ``labcases`` imports ``occlusion`` (but ``validators``, for limits).
Inputs are plain values that can be kept (``inputs``); ``answer`` turns them into
findings that can be kept as well. Screens and papers read the kept findings.
"""

from __future__ import annotations

from typing import Any

import occlusion
from labcases.domain.calculations import clearance as _clearance
from labcases.domain.calculations import explaining as _explaining
from labcases.domain.calculations import height as _height
from labcases.domain.calculations import inputs
from labcases.domain.calculations._proposals import ProposedValue, RecordProposal
from labcases.domain.calculations.beyond import Beyond, beyond
from labcases.domain.calculations.excursions import AS_SAID, SeenExcursion
from labcases.domain.calculations.explaining import (
    MarksExplained,
    OneChange,
    SeenOfMovement,
    marks_explained,
)
from labcases.domain.calculations.height import HeightBudget, HeightRow
from labcases.domain.calculations.passes import FoilSeen, PassWeighed, SchemeWish, weigh_pass
from labcases.domain.calculations.pin import SOURCE as PIN_SOURCE
from labcases.domain.calculations.pin import pin_for_a_millimetre
from labcases.domain.calculations.records import (
    points_closed,
    record_proposals,
    standing,
    ways_apart,
)
from labcases.domain.calculations.reduction import MarkAdvice, SeenMark, mark_advice
from labcases.domain.calculations.refusals import CannotCompute
from labcases.domain.calculations.remount import (
    CORRECT_MM,
    GOOD_MM,
    GROWTH_SOURCE,
    RiseAdvice,
    RiseRow,
    growth_mm,
    if_alone_mm,
    rise_advice,
)
from labcases.domain.calculations.selection import (
    SelectionAdvice,
    selection_advice,
    widths_that_fit,
)
from labcases.domain.calculations.settings import SettingsFindings, settings_findings
from labcases.domain.calculations.vertical import freeway, speaking
from labcases.enums import CheckKind
from labcases.models import Case
from occlusion.reduction.advice import RESET_BEYOND_MM
from occlusion.surfaces.calliper import LEAST_DEPTH_MM

ENGINE_VERSION: str = occlusion.__version__

__all__ = [
    "AS_SAID",
    "CORRECT_MM",
    "ENGINE_VERSION",
    "GOOD_MM",
    "GROWTH_SOURCE",
    "LEAST_DEPTH_MM",
    "PIN_SOURCE",
    "RESET_BEYOND_MM",
    "Beyond",
    "CannotCompute",
    "FoilSeen",
    "HeightBudget",
    "HeightRow",
    "MarkAdvice",
    "MarksExplained",
    "OneChange",
    "PassWeighed",
    "ProposedValue",
    "RecordProposal",
    "RiseAdvice",
    "RiseRow",
    "SchemeWish",
    "SeenExcursion",
    "SeenMark",
    "SeenOfMovement",
    "SelectionAdvice",
    "SettingsFindings",
    "answer",
    "beyond",
    "compare_marks",
    "freeway",
    "growth_mm",
    "height_budget",
    "if_alone_mm",
    "mark_advice",
    "marks_explained",
    "pin_for_a_millimetre",
    "points_closed",
    "record_proposals",
    "rise_advice",
    "selection_advice",
    "settings_findings",
    "speaking",
    "standing",
    "ways_apart",
    "weigh_pass",
    "widths_that_fit",
]


def answer(kind: CheckKind, told: inputs.Plain) -> dict[str, Any]:
    """Findings for kept inputs; the same inputs always give the same findings.

    Raises
    ------
    CannotCompute
        Something is not entered, or the engine refuses a setting.
    """
    if kind == CheckKind.CLEARANCE:
        return _clearance.findings(told)
    return _height.findings(told)


def height_budget(case: Case) -> HeightBudget:
    """The height budget of a case as it stands now."""
    return _height.budget(inputs.height(case))


def compare_marks(told: inputs.Plain) -> dict[str, Any]:
    """Findings of marks held against the prediction; see ``explaining.findings``.

    Raises
    ------
    CannotCompute
        No pass is logged, something is not entered, or the engine refuses it.
    """
    return _explaining.findings(told)
