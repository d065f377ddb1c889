"""The set-up of a case on its way: the lines of the bench in their order."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from labcases import notation
from labcases.domain import trimming
from labcases.domain.teeth import posterior_sites, replaced
from labcases.enums import Movement, SetUpAct, SetUpPart, TrimMethod

if TYPE_CHECKING:
    from labcases.management.walk import Walk

D = Decimal
A = SetUpAct


def posterior(walk: Walk) -> None:
    """Base, pin, teeth, cusps, passes, the pin back, and the end of the part."""
    wanted = posterior_sites(walk.reload().prescription)
    walk.log(A.BASE_ADAPTED, separable_base=True)
    walk.log(A.PIN_OPENED, before_mm=D("0"), after_mm=D("0.5"))
    cut(walk, wanted)
    walk.log(A.TOOTH_SET, teeth=wanted)
    walk.log(A.CUSP_HELD, teeth=wanted, as_wanted=True)
    for movement in Movement:
        walk.foil(movement, *wanted[:4])
    walk.log(A.PIN_READING, after_mm=D("0"))
    walk.log(A.PART_DONE, part=SetUpPart.POSTERIOR, separable_base=True)


def anterior(walk: Walk) -> None:
    """The cast cut for every second tooth first, teeth, the pin, and the end of the part."""
    front = [t for t in replaced(walk.reload().prescription) if not notation.is_posterior(t)]
    cut(walk, front)
    walk.log(A.TOOTH_SET, teeth=front)
    walk.log(A.PIN_READING, after_mm=D("0"))
    walk.log(A.PART_DONE, part=SetUpPart.ANTERIOR)


def cut(walk: Walk, wanted: Sequence[str]) -> None:
    """Those of these teeth that stand on the cast, every second one first."""
    stone = [t for t in trimming.on_the_cast(walk.reload().prescription) if t in wanted]
    if not stone:
        return
    trimming.log(
        case=walk.case,
        by=walk.hands.technician,
        method=TrimMethod.ALTERNATE,
        trims=[
            {
                "tooth": tooth,
                "labial_mm": D("1.5"),
                "crest_mm": D("0.5"),
                "palatal_mm": D("0"),
            }
            for tooth in (*stone[::2], *stone[1::2])
        ],
    )
