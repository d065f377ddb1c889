"""The verbs of the JSON door: a request's plain values in, an answer's plain values out."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from occlusion.door.shared import ARTICULATOR_KEYS, Plain
from occlusion.errors import BadRequest, OcclusionError, shorten


def _verb(name: str) -> Callable[[object], Plain]:
    """A verb whose module is read when it is first asked: surfaces take long to import."""

    def asked(request: object) -> Plain:
        found: Plain = getattr(import_module(f"occlusion.door.{name}"), name)(request)
        return found

    return asked


VERBS: dict[str, Callable[[object], Plain]] = {
    name: _verb(name) for name in ("motion", "clearance", "pin", "records", "space")
}
"""The verbs of this version, each the function of its name in the module of its name."""


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
