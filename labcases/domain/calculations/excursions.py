"""Whether the cusp that is high in centric marks in the excursions too: cusp or fossa yields by it.

In centric the high cusp is the upper lingual or the lower buccal one. Both carry the vertical,
and both slide on each other on the balancing side; on the working side and in protrusion buccal
cusps meet buccal ones, and lingual cusps lingual ones.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from labcases import notation
from labcases.enums import Movement
from labcases.enums.marks import Excursions
from occlusion.articulator import Kind
from occlusion.reduction.marks import Role

EXCURSION: dict[Movement, Kind] = {
    Movement.RIGHT: "right",
    Movement.LEFT: "left",
    Movement.PROTRUSIVE: "protrusive",
}


AS_SAID = "as was said here."
"""How a sentence ends that rests on what somebody said, and not on passes."""


@dataclass(frozen=True)
class SeenExcursion:
    """The last pass in an excursion: tooth -> cusps, empty where nobody said which.

    ``since`` are the teeth that were ground or set after it; of those it says nothing any more.
    """

    marks: Mapping[str, str]
    since: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Also:
    """Whether the cusp marks in the excursions too, and how that is known or why it is not."""

    marks: bool | None
    why: str


def role_of(movement: Movement, tooth: str) -> Role:
    """What a tooth is in a movement; working and balancing as seen from its side."""
    if movement == Movement.CENTRIC:
        return "centric"
    if movement == Movement.PROTRUSIVE:
        return "protrusive"
    return "working" if notation.side_of(tooth) == EXCURSION[movement] else "balancing"


def also_marks(
    *,
    upper: str,
    lower: str,
    cusps: str,
    excursions: Mapping[Movement, SeenExcursion],
    said: str = "",
) -> Also:
    """Of a pair that marks in centric, by the last passes; where they do not tell, as was said.

    Parameters
    ----------
    upper, lower : str
        The pair, ISO 3950. Two teeth that meet are one contact, whichever of them was tapped.
    cusps : str
        Of ``Cusps``, as in centric; empty where nobody said which cusp is high.
    excursions : mapping of Movement to SeenExcursion
        The movements that have a pass.
    said : str
        Of ``Excursions``; empty where nobody was asked.
    """
    open_: dict[str, list[str]] = defaultdict(list)
    for movement in EXCURSION:
        told = excursions.get(movement)
        name = movement.label.lower()
        if told is None:
            open_["no pass in {} is logged"].append(name)
            continue
        changed = [tooth for tooth in (upper, lower) if tooth in told.since]
        if changed:
            ground = " and ".join(changed)
            open_[f"{ground} ground or set after the last pass in {{}}"].append(name)
            continue
        seen = {told.marks[tooth] for tooth in (upper, lower) if tooth in told.marks}
        if not seen:
            continue
        if role_of(movement, upper) == "balancing" or (cusps and cusps in seen):
            return Also(True, f"The same cusp marks in {name} too (last pass).")
        if not cusps or seen == {""}:
            open_["it marks in {}, and with which cusp is not said"].append(name)
    if not open_:
        return Also(False, "The same cusp marks in none of the excursions (last passes).")
    if said == Excursions.YES:
        return Also(True, f"The same cusp marks in the excursions too, {AS_SAID}")
    if said == Excursions.NO:
        return Also(False, f"The same cusp marks in none of the excursions, {AS_SAID}")
    why = "; ".join(words.format(", ".join(names)) for words, names in open_.items())
    return Also(None, f"Not known from the passes: {why}.")
