"""Marks of foil beside what was predicted, and the one change that would explain them."""

from occlusion.explaining.causes import Cause, possible_causes
from occlusion.explaining.explain import explain
from occlusion.explaining.model import (
    MOVEMENTS,
    Explanation,
    Fit,
    Movement,
    SeenMark,
    SeenPass,
    ToothRow,
)

__all__ = [
    "MOVEMENTS",
    "Cause",
    "Explanation",
    "Fit",
    "Movement",
    "SeenMark",
    "SeenPass",
    "ToothRow",
    "explain",
    "possible_causes",
]
