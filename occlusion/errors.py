"""Refusals of the engine: one class each, with a sentence that says what to do next.

Every refusal carries ``field`` (the name of the offending value), ``value`` (what was
given), ``limit`` (what is allowed) and ``text`` (the sentence). The class name is the
code that the JSON door prints.
"""

from __future__ import annotations

import math
import numbers

LONGEST_TEXT = 80
"""Characters of a foreign text that are quoted back."""

LONGEST_LIST = 20
"""Entries of a foreign list that are quoted back."""


class OcclusionError(ValueError):
    """A question that the engine refuses to answer.

    Parameters
    ----------
    text : str
        A full sentence: what is wrong, what was given, what to do.
    field : str, optional
        Name of the offending value, for example ``"right.inclination_deg"``.
    value : object, optional
        What was given.
    limit : object, optional
        What is allowed.
    """

    def __init__(
        self, text: str, *, field: str | None = None, value: object = None, limit: object = None
    ) -> None:
        super().__init__(text)
        self.text = text
        self.field = field or ""
        self.value = value
        self.limit = limit

    def as_dict(self) -> dict[str, object]:
        """The refusal as the JSON door prints it."""
        return {
            "error": type(self).__name__,
            "field": self.field or None,
            "value": plain(self.value),
            "limit": plain(self.limit),
            "text": self.text,
        }


class BadRequest(OcclusionError):
    """The request itself cannot be read: not JSON, a key missing, unknown or of a wrong kind."""


class NotANumber(OcclusionError):
    """A value that should be a number is none, or is not finite."""


class OutOfRange(OcclusionError):
    """A number outside its hard limits."""


class NegativeTravel(OcclusionError):
    """A travel below zero; the engine knows nothing of retrusion."""


class ImpossibleGeometry(OcclusionError):
    """Settings that no rigid lower member can follow."""


class PinLeavesTable(OcclusionError):
    """The guided point finds no place on the table, or only an ill-defined one."""


class PinUnreachable(OcclusionError):
    """The pin cannot be opened that far about this axis."""


class CondyleOutOfPath(OcclusionError):
    """The travel is longer than a condylar path."""


class MixedReferencePlanes(OcclusionError):
    """Angles that were read against different planes."""


class SidesLookSwapped(OcclusionError):
    """Something named right lies on the left, or the other way round."""


class NoSolution(OcclusionError):
    """The formula has no answer for these values."""


class OpenOrEmptyMesh(OcclusionError):
    """A file that is no mesh, is broken, or holds no closed enough surface."""


class TooManyTriangles(OcclusionError):
    """A mesh, or the size its header promises, is larger than can be handled."""


class UnitSuspect(OcclusionError):
    """A scan whose extent is no arch's in millimetres."""


class MirroredScan(OcclusionError):
    """The named points fit only with the scan mirrored."""


class OutsideScan(OcclusionError):
    """Too much of one arch lies beyond the other scan."""


class RecordsDisagree(OcclusionError):
    """Check records that cannot belong to one articulator."""


class RecordTooShort(OcclusionError):
    """A check record too short to read an angle from."""


class BudgetExceeded(OcclusionError):
    """A reduction deeper than the tooth has to give."""


def plain(value: object) -> object:
    """A value as JSON can carry it: numbers stay, the rest is quoted and shortened."""
    if value is None or isinstance(value, bool | str):
        return shorten(value) if isinstance(value, str) else value
    if isinstance(value, numbers.Real):
        number = _as_float(value)
        if number is None or not math.isfinite(number):
            return shorten(_written(value))
        return value if isinstance(value, int) else number
    if isinstance(value, list | tuple) and len(value) <= LONGEST_LIST:
        return [kind_of(item) if isinstance(item, list | tuple) else plain(item) for item in value]
    return kind_of(value)


def shorten(text: str) -> str:
    """A foreign text, cut to a length that can be quoted."""
    return text if len(text) <= LONGEST_TEXT else text[:LONGEST_TEXT] + " ..."


def kind_of(value: object) -> str:
    """The kind of a foreign value, in words."""
    if value is None:
        return "empty"
    if isinstance(value, bool):
        return "a truth value"
    if isinstance(value, numbers.Number):
        return "a number"
    if isinstance(value, str):
        return f"the text {shorten(value)!r}"
    if isinstance(value, dict):
        return "an object"
    return "a list" if isinstance(value, list | tuple) else f"a {type(value).__name__}"


def _as_float(value: numbers.Real) -> float | None:
    try:
        return float(value)
    except OverflowError:
        return None


def _written(value: numbers.Real) -> str:
    if isinstance(value, int):
        return f"a whole number of {value.bit_length()} bits"
    return str(value)
