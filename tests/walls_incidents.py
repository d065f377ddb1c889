"""What went wrong with the case behind the walls: reports for the addresses that name one."""

from __future__ import annotations

from labcases.enums import Side
from labcases.models import Case
from tests.factories import UserFactory

KINDS = {"": "broken-cast", ":unknown": "no-such-thing"}


def reported(case: Case) -> dict[str, int]:
    """Two reports of somebody who has left: a box, and a doubt whose case it is."""
    said = {"by": UserFactory(), "text": "It was on the bench.", "reported_from": Side.LABORATORY}
    stood = {"stage_before": case.stage, "stage_after": case.stage}
    box_of_others, doubt = (
        case.incidents.create(kind=kind, title=kind, **said, **stood).pk
        for kind in ("wrong-box", "wrong-patient")
    )
    strike = "incident_strike"
    return {"incident_close": box_of_others, strike: box_of_others, "incident_identity": doubt}
