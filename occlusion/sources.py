"""Where the engine's figures come from, and how each source was read.

``how_read`` is one of the words of ``HOW_READ``. A limit or a rule that rests on
practice alone says so; nothing here is cited that was not seen or is not marked as
recalled.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

HOW_READ = {
    "read": "the figure was read in an abstract or a page of the source",
    "quoted": "the figure was read in another text that quotes the source",
    "recalled": "the figure is from memory; the source was not at hand",
    "computed": "worked out from a stated geometry, by two independent methods",
    "practice": "common practice, no source",
}


@dataclass(frozen=True)
class Source:
    """A reference and how it was read (a key of ``HOW_READ``)."""

    reference: str
    how_read: str


def _read() -> dict[str, Source]:
    """The list beside this file; TOML refuses a key that stands twice."""
    with Path(__file__).with_name("sources.toml").open("rb") as file:
        return {key: Source(**row) for key, row in tomllib.load(file).items()}


SOURCES: dict[str, Source] = _read()
"""Every source by its key."""


def cite(key: str) -> str:
    """The reference and the way it was read, for a sheet or a screen.

    The way follows a semicolon and no bracket, so that a sentence may put both into brackets.
    """
    source = SOURCES[key]
    if source.how_read == "practice":
        return source.reference
    note = {"quoted": "as quoted elsewhere", "recalled": "from memory"}
    return f"{source.reference}; {note.get(source.how_read, source.how_read)}"


MODEL_LIMITS: tuple[str, ...] = (
    "Proposal from a rigid model; the prescribing dentist decides.",
    "Not modelled: mucosa that gives under a base, teeth that shift in wax or in processing, "
    "natural teeth that move in their sockets, a jaw that bends.",
    "Condylar paths are straight, and the working condyle moves sideways only; muscle, not the "
    "instrument, chooses the real path. Nothing is said about retrusion or chewing.",
    "The hinge axis is taken as found; play of the instrument and expansion of plaster are not "
    "in the numbers.",
    "Gaps are worth about 0.1 mm at best: none predicted is not none.",
)
"""What the model cannot tell; goes with every answer."""
