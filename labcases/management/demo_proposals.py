"""The story of a case that waits for the dentist: what was proposed, and what was answered."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from labcases.domain import proposing
from labcases.domain.proposal_answer import answer
from labcases.enums import Stage
from labcases.enums.opponent import HeightReading
from labcases.enums.proposals import ProposalKind, ProposalState

if TYPE_CHECKING:
    from labcases.management.demo_stories import Stories

D = Decimal


def proposed(stories: Stories) -> None:
    """Another arrangement is agreed to; a depth, a natural tooth and a new vertical wait."""
    walk = stories.walk_to_surgery(0, "FL-1049", 47)
    walk.to(
        Stage.SET_UP,
        over_eruption_mm={"37": "1.6"},
        over_eruption_by=HeightReading.PLATE,
    )
    walk.set_posterior()
    hands = walk.hands
    agreed = proposing.raise_proposal(
        case=walk.reload(),
        kind=ProposalKind.ARRANGEMENT,
        tooth="21",
        why="The natural tooth stands turned, its distal edge forward. Set straight, it leaves "
        "room for the lower front teeth.",
        by=hands.technician,
    )
    answer(
        proposal=agreed,
        version=agreed.version,
        answer=ProposalState.CHANGE,
        text="Half of the turn stays; she likes it.",
        by=hands.dentist,
    )
    proposing.raise_proposal(
        case=walk.reload(),
        kind=ProposalKind.NATURAL,
        tooth="37",
        why="37 stands 1.6 mm above the plane and leads in protrusion.",
        blocking=False,
        by=hands.technician,
    )
    proposing.raise_proposal(
        case=walk.reload(),
        kind=ProposalKind.REDUCTION,
        tooth="15",
        number=D("0.5"),
        why="It still marks alone in left lateral after 0.3 mm would be off.",
        by=hands.technician,
    )
    proposing.raise_proposal(
        case=walk.reload(),
        kind=ProposalKind.VERTICAL,
        number=D("2"),
        why="Behind the premolars the teeth come near their least shell everywhere.",
        by=hands.technician,
    )
