"""The verbs of the JSON door: a request's plain values in, an answer's plain values out."""

from __future__ import annotations

from collections.abc import Callable

from occlusion.door.clearance import clearance
from occlusion.door.motion import motion
from occlusion.door.pin import pin
from occlusion.door.records import records
from occlusion.door.shared import ARTICULATOR_KEYS, Plain
from occlusion.door.space import space
from occlusion.errors import BadRequest, OcclusionError, shorten

VERBS: dict[str, Callable[[object], Plain]] = {
    "motion": motion,
    "clearance": clearance,
    "pin": pin,
    "records": records,
    "space": space,
}
"""The verbs of this version."""


def answer(verb: str, request: object) -> Plain:
    """The answer to a request, without the engine's version.

    Parameters
    ----------
    verb : str
        One of ``VERBS``.
    request : object
        Plain values, as JSON gives them.

    Raises
    ------
    OcclusionError
        Any refusal.
    """
    if verb not in VERBS:
        raise BadRequest(
            f"This version has no verb {shorten(verb)!r}. Use one of: {', '.join(VERBS)}.",
            field="verb",
            value=verb,
            limit=list(VERBS),
        )
    try:
        return VERBS[verb](request)
    except OcclusionError as refusal:
        inside = isinstance(request, dict) and "articulator" in request
        if inside and refusal.field.split(".")[0] in ARTICULATOR_KEYS:
            refusal.field = f"articulator.{refusal.field}"
        raise
