"""Selective grinding as a literal table: what was found, whose teeth meet, and what yields.

The upper teeth overlap the lower ones outside; a crossbite has no rows. Where one member
alone is a denture the classic table is carried over to it: of the two surfaces that meet,
the denture's yields. Natural against natural has no row, so that nothing yields there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from occlusion.articulator import Member
from occlusion.reduction.inclines import SUPPORTING, CuspSide, Half, Incline, Slope

Finding = Literal[
    "centric and excursions, upper lingual cusps",
    "centric and excursions, lower buccal cusps",
    "centric only, upper lingual cusps",
    "centric only, lower buccal cusps",
    "working, buccal cusps",
    "working, lingual cusps",
    "balancing",
    "protrusive, buccal cusps",
    "protrusive, lingual cusps",
    "centric, front teeth",
    "lateral, front teeth",
    "protrusive, front teeth",
]
Who = Literal["upper denture", "lower denture", "two dentures", "two natural"]
Site = Literal["incline", "cusp", "fossa", "front surface"]

ORDER: tuple[str, ...] = ("vertical", "centric", "working", "balancing", "protrusive")
"""Steps of selective grinding (source: grinding_lecture, which makes one step of working
and balancing)."""

RECHECK = "Mark centric again, and see that the pin still touches the table."
"""After every step (source: grinding_lecture)."""

CONFIRM = "Derived, to be confirmed by the dentist."

KEEP_TIP: dict[Member, str] = {
    "upper": "Keep the tip of the upper lingual cusp: it carries the vertical.",
    "lower": "Keep the tip of the lower buccal cusp: it carries the vertical.",
}
KEEP_CENTRIC = "Keep the contact in centric."
KEEP_EDGE = "Keep the incisal edge."
KEEP_FORM = "Keep the form of the cusp: round it off, do not flatten it."
KEEP_TOOTH = "Keep the ridges around it, and the shell over the fossa."


@dataclass(frozen=True)
class Yield:
    """What may yield: of which member, and where.

    ``incline`` stands for posterior inclines only, ``cusp`` where a cusp is meant; ``keep``
    says what must be left.
    """

    member: Member
    site: Site
    keep: str
    cusp: CuspSide | None = None
    incline: Incline | None = None

    @property
    def place(self) -> str:
        """In words of the trade."""
        if self.incline is not None:
            return self.incline.in_words(self.member)
        if self.site == "cusp":
            return f"{self.member} {self.cusp} cusp"
        if self.site == "fossa":
            return f"{self.member} fossa"
        return "palatal surface" if self.member == "upper" else "labial slope of the edge"

    @property
    def supporting(self) -> bool:
        """It belongs to a cusp that carries the vertical."""
        return self.cusp == SUPPORTING[self.member]

    @property
    def removes_tip(self) -> bool:
        """It shortens the cusp as a whole."""
        return self.site == "cusp"


@dataclass(frozen=True)
class Rule:
    """One row: the first of ``yields`` is proposed; never more than one of them.

    ``source`` is a key of ``occlusion.sources.SOURCES``, which says how it was read;
    ``confirm`` that the row is derived and wants the dentist's word.
    """

    yields: tuple[Yield, ...]
    source: str
    confirm: bool = False
    note: str = ""


def _incline(member: Member, cusp: CuspSide, slope: Slope, half: Half | None = None) -> Yield:
    keep = KEEP_TIP[member] if cusp == SUPPORTING[member] else KEEP_CENTRIC
    return Yield(member, "incline", keep, cusp, Incline(cusp, slope, half))


def _cusp(member: Member) -> Yield:
    return Yield(member, "cusp", KEEP_FORM, SUPPORTING[member])


def _fossa(member: Member) -> Yield:
    return Yield(member, "fossa", KEEP_TOOTH)


def _front(member: Member) -> Yield:
    return Yield(member, "front surface", KEEP_EDGE)


_ONE = "Choose one of the two inclines for a contact, never both: both cusps carry the vertical."
_PATH = "Free the path only."
_OR_RESET = "The fossa is natural: shorten the cusp that meets it, or re-set the tooth."
_RECESS = "The cusp is natural: recess what it strikes."
_GUIDE = "Front teeth guide: read the guidance again afterwards."

RULES: dict[tuple[Finding, Who], Rule] = {
    # Upper denture against natural lower teeth.
    ("centric and excursions, upper lingual cusps", "upper denture"): Rule(
        (_cusp("upper"),), "schuyler_1935"
    ),
    ("centric and excursions, lower buccal cusps", "upper denture"): Rule(
        (_fossa("upper"),), "yielding_member", True, _RECESS
    ),
    ("centric only, upper lingual cusps", "upper denture"): Rule(
        (_cusp("upper"),), "yielding_member", True, _OR_RESET
    ),
    ("centric only, lower buccal cusps", "upper denture"): Rule(
        (_fossa("upper"),), "schuyler_1935"
    ),
    ("working, buccal cusps", "upper denture"): Rule(
        (_incline("upper", "buccal", "inner"),), "grinding_notes"
    ),
    ("working, lingual cusps", "upper denture"): Rule(
        (_incline("upper", "lingual", "outer"),), "yielding_member", True
    ),
    ("balancing", "upper denture"): Rule(
        (_incline("upper", "lingual", "inner", "distal"),), "grinding_notes", False, _PATH
    ),
    ("protrusive, buccal cusps", "upper denture"): Rule(
        (_incline("upper", "buccal", "inner", "distal"),), "grinding_notes"
    ),
    ("protrusive, lingual cusps", "upper denture"): Rule(
        (_incline("upper", "lingual", "outer", "distal"),), "yielding_member", True
    ),
    ("centric, front teeth", "upper denture"): Rule((_front("upper"),), "practice"),
    ("lateral, front teeth", "upper denture"): Rule((_front("upper"),), "practice", False, _GUIDE),
    ("protrusive, front teeth", "upper denture"): Rule(
        (_front("upper"),), "schuyler_1935", False, _GUIDE
    ),
    # Lower denture against natural upper teeth: the mirror.
    ("centric and excursions, upper lingual cusps", "lower denture"): Rule(
        (_fossa("lower"),), "yielding_member", True, _RECESS
    ),
    ("centric and excursions, lower buccal cusps", "lower denture"): Rule(
        (_cusp("lower"),), "yielding_member", True
    ),
    ("centric only, upper lingual cusps", "lower denture"): Rule(
        (_fossa("lower"),), "yielding_member", True
    ),
    ("centric only, lower buccal cusps", "lower denture"): Rule(
        (_cusp("lower"),), "yielding_member", True, _OR_RESET
    ),
    ("working, buccal cusps", "lower denture"): Rule(
        (_incline("lower", "buccal", "outer"),), "yielding_member", True
    ),
    ("working, lingual cusps", "lower denture"): Rule(
        (_incline("lower", "lingual", "inner"),), "yielding_member", True
    ),
    ("balancing", "lower denture"): Rule(
        (_incline("lower", "buccal", "inner", "mesial"),), "yielding_member", True, _PATH
    ),
    ("protrusive, buccal cusps", "lower denture"): Rule(
        (_incline("lower", "buccal", "outer", "mesial"),), "yielding_member", True
    ),
    ("protrusive, lingual cusps", "lower denture"): Rule(
        (_incline("lower", "lingual", "inner", "mesial"),), "yielding_member", True
    ),
    ("centric, front teeth", "lower denture"): Rule((_front("lower"),), "practice", True),
    ("lateral, front teeth", "lower denture"): Rule((_front("lower"),), "practice", True, _GUIDE),
    ("protrusive, front teeth", "lower denture"): Rule(
        (_front("lower"),), "yielding_member", True, _GUIDE
    ),
    # Two dentures: the classic table.
    ("centric and excursions, upper lingual cusps", "two dentures"): Rule(
        (_cusp("upper"),), "schuyler_1935"
    ),
    ("centric and excursions, lower buccal cusps", "two dentures"): Rule(
        (_cusp("lower"),), "schuyler_1935"
    ),
    ("centric only, upper lingual cusps", "two dentures"): Rule(
        (_fossa("lower"),), "schuyler_1935"
    ),
    ("centric only, lower buccal cusps", "two dentures"): Rule((_fossa("upper"),), "schuyler_1935"),
    ("working, buccal cusps", "two dentures"): Rule(
        (_incline("upper", "buccal", "inner"),), "grinding_notes"
    ),
    ("working, lingual cusps", "two dentures"): Rule(
        (_incline("lower", "lingual", "inner"),), "grinding_notes"
    ),
    ("balancing", "two dentures"): Rule(
        (
            _incline("lower", "buccal", "inner", "mesial"),
            _incline("upper", "lingual", "inner", "distal"),
        ),
        "grinding_notes",
        False,
        _ONE,
    ),
    ("protrusive, buccal cusps", "two dentures"): Rule(
        (_incline("upper", "buccal", "inner", "distal"),), "grinding_notes"
    ),
    ("protrusive, lingual cusps", "two dentures"): Rule(
        (_incline("lower", "lingual", "inner", "mesial"),), "grinding_notes"
    ),
    ("centric, front teeth", "two dentures"): Rule((_front("upper"), _front("lower")), "practice"),
    ("lateral, front teeth", "two dentures"): Rule(
        (_front("upper"), _front("lower")), "practice", False, _GUIDE
    ),
    ("protrusive, front teeth", "two dentures"): Rule(
        (_front("upper"), _front("lower")), "schuyler_1935", False, _GUIDE
    ),
}
"""Every row that has something to yield. Natural against natural has none, on purpose."""


def who_meets(*, upper_denture: bool, lower_denture: bool) -> Who:
    """Which teeth of the pair belong to a denture."""
    if upper_denture:
        return "two dentures" if lower_denture else "upper denture"
    return "lower denture" if lower_denture else "two natural"


def rule_for(finding: Finding, who: Who) -> Rule | None:
    """The row of a finding, or None where only a natural tooth could yield."""
    return RULES.get((finding, who))
