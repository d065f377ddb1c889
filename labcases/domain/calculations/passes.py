"""What the prescribed scheme wants of a pass, held against the teeth that marked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import cast

from labcases import notation
from labcases.domain.calculations.excursions import role_of
from labcases.enums import Movement, OpposingTooth
from labcases.enums import Scheme as Prescribed
from labcases.enums.marks import Cusps, Strength
from occlusion.schemes import Role, Scheme, Wanted, Wish, wanted

CENTRIC = Wanted("contact", "Posterior teeth meet evenly on both sides")
"""Of every scheme (common practice, no source)."""


@dataclass(frozen=True)
class FoilSeen:
    """A tooth that marked in the pass that is weighed."""

    tooth: str
    strength: str = ""
    cusps: str = ""


@dataclass(frozen=True)
class SchemeWish:
    """What the scheme wants of the posterior teeth in one role, and why."""

    role: str
    wish: Wish
    reason: str


@dataclass(frozen=True)
class PassWeighed:
    """What the scheme wants of a pass and how its marks stand to that; ISO 3950 numbers.

    ``as_wanted`` is a proposal, nothing where no scheme is prescribed. ``lacking`` are denture
    teeth that should mark and do not, ``unwanted`` teeth that mark and should not, ``heavy``
    those that mark heavily, ``buccal`` those that mark on buccal cusps in a lingualised scheme.
    ``kept`` are contacts that the scheme wants and that no such word is said of, once one is said
    of others: a wanted contact is not ground away because another one is too heavy.
    """

    as_wanted: bool | None
    wishes: tuple[SchemeWish, ...] = ()
    lacking: tuple[str, ...] = ()
    unwanted: tuple[str, ...] = ()
    heavy: tuple[str, ...] = ()
    buccal: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()


def weigh_pass(
    marks: Sequence[FoilSeen],
    *,
    movement: Movement,
    scheme: str,
    kinds: Mapping[str, OpposingTooth],
    own: Sequence[str],
) -> PassWeighed:
    """Propose whether a pass is as the scheme wants.

    A wanted contact is there when the tooth marks or the one of its name opposite; teeth
    without anything opposite are not asked. The scheme's tables are those of the clearance
    check (``occlusion.schemes``).

    Parameters
    ----------
    marks : sequence of FoilSeen
        Of both arches.
    movement : Movement
        What the jaw did.
    scheme : str
        As prescribed; empty where none is.
    kinds : mapping of str to OpposingTooth
        What stands at each position once the denture is set.
    own : sequence of str
        The denture teeth of this case that are set, in mouth order.
    """
    if scheme not in Prescribed.values:
        return PassWeighed(None)
    named = cast(Scheme, scheme)
    marked = {mark.tooth for mark in marks}

    def wish(tooth: str) -> Wish:
        return _wanted(named, movement, tooth).wish

    lacking = tuple(
        tooth
        for tooth in own
        if wish(tooth) == "contact"
        and kinds.get(notation.opposing(tooth), OpposingTooth.MISSING) != OpposingTooth.MISSING
        and not {tooth, notation.opposing(tooth)} & marked
    )
    unwanted = tuple(mark.tooth for mark in marks if wish(mark.tooth) == "no contact")
    heavy = tuple(mark.tooth for mark in marks if mark.strength == Strength.HEAVY)
    buccal = tuple(
        mark.tooth
        for mark in marks
        if scheme == Prescribed.LINGUALISED
        and notation.is_posterior(mark.tooth)
        and mark.cusps == Cusps.BUCCAL
    )
    wrong = {*unwanted, *heavy, *buccal}
    return PassWeighed(
        as_wanted=not (lacking or unwanted or heavy or buccal),
        wishes=_wishes(named, movement),
        lacking=lacking,
        unwanted=unwanted,
        heavy=heavy,
        buccal=buccal,
        kept=tuple(
            mark.tooth
            for mark in marks
            if wrong
            and wish(mark.tooth) == "contact"
            and not {mark.tooth, notation.opposing(mark.tooth)} & wrong
        ),
    )


def _wanted(scheme: Scheme, movement: Movement, tooth: str) -> Wanted:
    role = role_of(movement, tooth)
    if role == "centric":
        posterior = notation.is_posterior(tooth)
        return CENTRIC if posterior else Wanted("nothing said", "Nothing is said of front teeth")
    return wanted(scheme, role, tooth=tooth)


def _wishes(scheme: Scheme, movement: Movement) -> tuple[SchemeWish, ...]:
    """One for each role of the movement, read off a first molar of either side."""
    found: dict[str, SchemeWish] = {}
    for tooth in ("16", "26") if movement != Movement.LEFT else ("26", "16"):
        role: Role | str = role_of(movement, tooth)
        said = _wanted(scheme, movement, tooth)
        found.setdefault(role, SchemeWish(role, said.wish, said.reason))
    return tuple(found.values())
