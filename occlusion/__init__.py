"""Engine of the clearance check: how a lower member moves, and what meets what.

Pure computation on numpy. Conventions, everywhere:

- millimetres and degrees; the unit stands in every name (``_mm``, ``_deg``);
- axes x forward, y to the patient's left, z up, origin midway between the condyles;
- the lower member moves, the upper one stands still; movements are counted from closed
  maximum intercuspation;
- right and left are the patient's; condylar inclination, Bennett angle and side shift
  belong to the condyle they are named by, a wing to the excursion it is named by;
- a positive hinge angle opens, a negative gap is an interference of that depth;
- teeth are ISO 3950 numbers as text, ``"16"``.

Everything is a laboratory proposal from a rigid model: the prescribing dentist decides.
"""

from occlusion.articulator import (
    ArticulatorSettings,
    CondylarSide,
    Excursion,
    IncisalTable,
    ReferencePlane,
)
from occlusion.errors import OcclusionError
from occlusion.front import FrontGuidance
from occlusion.motion import (
    facet_gap_mm,
    landmark_movement,
    lower_position,
    lower_positions,
    path_angle_deg,
)
from occlusion.pin import open_pin, pin_rise, straight_line_mm, wrong_axis
from occlusion.ranges import LIMITS, EngineWarning, warnings_for
from occlusion.space import site_budget
from occlusion.spread import Measured, draws_of, first_order_spread, spread_by_draws
from occlusion.teeth import arch_landmarks, crown

__version__ = "0.2.0"
"""Stands in every kept answer."""

__all__ = [
    "LIMITS",
    "ArticulatorSettings",
    "CondylarSide",
    "EngineWarning",
    "Excursion",
    "FrontGuidance",
    "IncisalTable",
    "Measured",
    "OcclusionError",
    "ReferencePlane",
    "__version__",
    "arch_landmarks",
    "crown",
    "draws_of",
    "facet_gap_mm",
    "first_order_spread",
    "landmark_movement",
    "lower_position",
    "lower_positions",
    "open_pin",
    "path_angle_deg",
    "pin_rise",
    "site_budget",
    "spread_by_draws",
    "straight_line_mm",
    "warnings_for",
    "wrong_axis",
]
