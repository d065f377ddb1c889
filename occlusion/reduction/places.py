"""What a plan starts from: places that come too near, and what may be used to free them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from occlusion.errors import BadRequest
from occlusion.ranges import check_hard, number
from occlusion.reduction.denture import DentureTooth
from occlusion.teeth import check_tooth

HOLD_MM = 0.05
"""A contact that is to be held may open by no more than this (common practice, no source)."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """An incline, how near it comes, and what its tooth has to give.

    Parameters
    ----------
    tooth : str
        ISO 3950; where the finding is.
    incline : str
        Where on it, in the words of ``Incline.name``.
    chosen : DentureTooth or None
        The tooth that may yield there, the same one or its antagonist; None: both are natural.
    gap_mm : float
        The least gap over all positions, negative for an interference.
    pin_ratio : float, optional
        Movement here for 1 at the pin; needed with an approved raise.
    budget_mm, hollow_mm, room_mm : float
        Of ``occlusion.space.site_budget`` at the present vertical: what may come off, how much
        of the shell hollow-grinding has taken, and the height left over the tooth if none has.
    held_mm : float, optional
        Gap of a contact in centric that is to be held here.
    weight : float
        What a millimetre of reduction counts here.
    """

    tooth: str
    incline: str
    chosen: DentureTooth | None
    gap_mm: float
    pin_ratio: float | None = None
    budget_mm: float = 0.0
    hollow_mm: float = 0.0
    room_mm: float = 0.0
    held_mm: float | None = None
    weight: float = 1.0

    def __post_init__(self) -> None:
        check_tooth(self.tooth)
        for name in ("gap_mm", "weight") + (("held_mm",) if self.held_mm is not None else ()):
            object.__setattr__(self, name, number(getattr(self, name), field=name))
        for name in ("budget_mm", "hollow_mm", "room_mm"):
            value = check_hard("occlusal_budget_mm", getattr(self, name), field=name)
            object.__setattr__(self, name, value)
        if self.pin_ratio is not None:
            object.__setattr__(self, "pin_ratio", check_hard("pin_ratio", self.pin_ratio))
        if self.hollow_mm > 0.0 and self.room_mm > 0.0:
            raise BadRequest(
                f"{self.tooth} has {self.room_mm:g} mm of room and is hollow-ground by "
                f"{self.hollow_mm:g} mm. A tooth with room is not: enter one of them.",
                field="room_mm",
                value=self.room_mm,
            )
        if self.weight <= 0.0:
            raise BadRequest(
                f"The weight of {self.tooth}, {self.incline} is {self.weight:g}. Enter more than "
                "0, or the plan would grind for nothing.",
                field="weight",
                value=self.weight,
            )

    @property
    def key(self) -> tuple[str, str]:
        """What tells places apart."""
        return (self.tooth, self.incline)


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What a plan is to reach, and what it may use.

    Parameters
    ----------
    clearance_mm : float
        Least gap at every place.
    approved_raise_mm : float
        A new vertical that the dentist has approved, at the pin; 0: the pin stays. An opened
        pin is a temporary aid and never counts.
    reset_max_mm : mapping of str to float
        How far each tooth may be re-set away from its antagonist; absent: not at all.
    raise_weight, reset_weight : float
        What a millimetre at the pin, and of re-setting, counts beside one of reduction.
    hold_mm : float
        How far a held contact may open.
    """

    clearance_mm: float = 0.0
    approved_raise_mm: float = 0.0
    reset_max_mm: Mapping[str, float] | None = None
    raise_weight: float = 2.0
    reset_weight: float = 0.5
    hold_mm: float = HOLD_MM


def checked(aim: Wanted) -> Wanted:
    """The aim with every number within its limits.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    for name in ("raise_weight", "reset_weight"):
        if number(getattr(aim, name), field=name) <= 0.0:
            raise BadRequest(
                f"The weight {name} is {getattr(aim, name):g}. Enter more than 0.", field=name
            )
    resets = {
        check_tooth(tooth, field="reset_max_mm"): check_hard(
            "interference_mm", most, field=f"reset_max_mm.{tooth}", label=f"re-setting of {tooth}"
        )
        for tooth, most in (aim.reset_max_mm or {}).items()
    }
    return replace(
        aim,
        clearance_mm=check_hard(
            "interference_mm", aim.clearance_mm, field="clearance_mm", label="wanted clearance"
        ),
        approved_raise_mm=check_hard("approved_raise_mm", aim.approved_raise_mm),
        reset_max_mm=resets,
        hold_mm=check_hard(
            "interference_mm", aim.hold_mm, field="hold_mm", label="opening of a held contact"
        ),
    )


def told_apart(places: Sequence[Place], aim: Wanted) -> tuple[Place, ...]:
    """The places, each named once and complete for what the plan may use.

    Raises
    ------
    BadRequest
    """
    seen: set[tuple[str, str]] = set()
    for place in places:
        if place.key in seen:
            raise BadRequest(
                f"{place.tooth}, {place.incline} is given twice. Give each incline once, with its "
                "least gap.",
                field="places",
                value=place.tooth,
            )
        seen.add(place.key)
        if aim.approved_raise_mm > 0.0 and place.pin_ratio is None:
            raise BadRequest(
                f"A raise of {aim.approved_raise_mm:g} mm is approved, but pin_ratio of "
                f"{place.tooth}, {place.incline} is missing. Enter how far it moves for 1 mm at "
                "the pin, such as 0.4.",
                field="pin_ratio",
            )
    return tuple(places)
