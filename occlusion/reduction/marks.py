"""Marks of articulating foil, and which row of the table each belongs to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from occlusion.articulator import Member, choose
from occlusion.errors import BadRequest
from occlusion.ranges import check_hard
from occlusion.reduction.denture import DentureTooth, Material, ToothMaterial, as_object
from occlusion.reduction.inclines import CuspSide
from occlusion.reduction.rules import Finding, Who, who_meets
from occlusion.teeth import arch_of, is_anterior, side_of

Role = Literal["centric", "working", "balancing", "protrusive"]
MeasuredBy = Literal["gauge", "scans", "callipers"]

FRONT: dict[Role, Finding] = {
    "centric": "centric, front teeth",
    "working": "lateral, front teeth",
    "balancing": "lateral, front teeth",
    "protrusive": "protrusive, front teeth",
}
BUCCAL: dict[Role, Finding] = {
    "working": "working, buccal cusps",
    "protrusive": "protrusive, buccal cusps",
}
LINGUAL: dict[Role, Finding] = {
    "working": "working, lingual cusps",
    "protrusive": "protrusive, lingual cusps",
}


@dataclass(frozen=True, kw_only=True)
class FoilMark:
    """A mark of articulating foil, or a predicted interference.

    Parameters
    ----------
    role : {"centric", "working", "balancing", "protrusive"}
        When the teeth meet; working and balancing as seen from their side.
    upper, lower : str
        The two teeth that meet, ISO 3950.
    upper_material, lower_material : {"denture", "natural"}
        Whose teeth they are.
    depth_mm : float
        How far they interfere, vertically, 0 or more.
    measured_by : {"gauge", "scans", "callipers"}
        Where the depth comes from.
    cusps : {"buccal", "lingual"}, optional
        Which cusps meet. In centric: ``buccal`` is the lower buccal cusp in the upper fossa,
        ``lingual`` the upper lingual cusp in the lower fossa.
    also_in_excursions : bool, optional
        A centric mark whose cusp marks in excursions too.
    supporting : bool, optional
        The dentist or technician says that the yielding cusp carries the vertical; None: as
        usual, the upper lingual and the lower buccal one.
    crossbite : bool
        The lower tooth stands outside the upper one here; no rule covers that.
    prefer : {"upper", "lower"}, optional
        Whose tooth yields where the rule leaves a choice.
    upper_made_of, lower_made_of : {"resin", "composite", "porcelain"}, optional
        Of denture teeth.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """

    role: Role
    upper: str
    lower: str
    upper_material: Material
    lower_material: Material
    depth_mm: float
    measured_by: MeasuredBy = "gauge"
    cusps: CuspSide | None = None
    also_in_excursions: bool | None = None
    supporting: bool | None = None
    crossbite: bool = False
    prefer: Member | None = None
    upper_made_of: ToothMaterial | None = None
    lower_made_of: ToothMaterial | None = None

    def __post_init__(self) -> None:
        choose(self.role, get_args(Role), field="role", label="role")
        choose(self.measured_by, get_args(MeasuredBy), field="measured_by", label="how measured")
        if self.cusps is not None:
            choose(self.cusps, get_args(CuspSide), field="cusps", label="cusps that meet")
        if self.prefer is not None:
            choose(self.prefer, get_args(Member), field="prefer", label="member that yields")
        depth = check_hard("interference_mm", self.depth_mm, field="depth_mm", label="depth")
        object.__setattr__(self, "depth_mm", depth)
        self.tooth_object("upper")
        self.tooth_object("lower")
        for member in get_args(Member):
            if arch_of(self.tooth_of(member)) != member:
                raise BadRequest(
                    f"Tooth {self.tooth_of(member)} is no {member} tooth. Enter the upper and the "
                    "lower tooth that meet.",
                    field=member,
                    value=self.tooth_of(member),
                )
        across = side_of(self.upper) != side_of(self.lower)
        if across and not (self.upper[1] == "1" and self.lower[1] == "1"):
            raise BadRequest(
                f"{self.upper} and {self.lower} stand on different sides and cannot meet. Check "
                "the two numbers.",
                field="lower",
                value=self.lower,
            )

    def tooth_of(self, member: Member) -> str:
        """The tooth of this member."""
        return self.upper if member == "upper" else self.lower

    def tooth_object(self, member: Member) -> DentureTooth | None:
        """The tooth of this member as something that may yield, None if it is natural."""
        if member == "upper":
            return as_object(self.upper, self.upper_material, self.upper_made_of)
        return as_object(self.lower, self.lower_material, self.lower_made_of)

    @property
    def who(self) -> Who:
        """Whose teeth meet."""
        return who_meets(
            upper_denture=self.upper_material == "denture",
            lower_denture=self.lower_material == "denture",
        )

    @property
    def natural_tooth(self) -> str | None:
        """The natural tooth of the pair, the lower one of two; None between dentures."""
        if self.lower_material == "natural":
            return self.lower
        return self.upper if self.upper_material == "natural" else None


def finding_of(mark: FoilMark) -> tuple[Finding, tuple[str, ...]]:
    """The row of the table that a mark belongs to, and what had to be assumed for it."""
    yielding = mark.lower if mark.who == "lower denture" else mark.upper
    if is_anterior(yielding):
        return FRONT[mark.role], ()
    if mark.role == "balancing":
        return "balancing", ()
    if mark.role == "centric":
        return _centric(mark)
    rows = LINGUAL if mark.cusps == "lingual" else BUCCAL
    told = mark.cusps is not None
    assumed = () if told else (f"Buccal cusps are taken to meet at {mark.upper}: not told.",)
    return rows[mark.role], assumed


def _centric(mark: FoilMark) -> tuple[Finding, tuple[str, ...]]:
    """What is not told is taken so that the fossa of the denture yields, not its cusp."""
    assumed = []
    cusps = mark.cusps
    if cusps is None:
        cusps = "lingual" if mark.who == "lower denture" else "buccal"
        which = "upper lingual" if cusps == "lingual" else "lower buccal"
        assumed.append(f"The {which} cusp is taken to be the high one: not told.")
    if mark.also_in_excursions is None:
        assumed.append("The mark is taken to be free in excursions: not told.")
    if cusps == "lingual":
        high: Finding = "centric and excursions, upper lingual cusps"
        free: Finding = "centric only, upper lingual cusps"
    else:
        high = "centric and excursions, lower buccal cusps"
        free = "centric only, lower buccal cusps"
    return (high if mark.also_in_excursions else free), tuple(assumed)
