"""What a case lacks of the case of the other arch."""

from __future__ import annotations

from labcases.domain import linking
from labcases.enums import Stage
from labcases.management.sample import natural
from labcases.management.walk import Walk
from labcases.models import Prescription
from tests.labcases.domain.gaps import Gap


def meets_one_being_made(walk: Walk) -> None:
    """Nobody revises for this: what is asked is what the gate says of it."""
    Prescription.objects.filter(case=walk.case).update(
        opponent="complete denture being made",
        opposing={t: "missing" if t[1] == "8" else "denture" for t in natural("lower")},
    )


def link(walk: Walk) -> None:
    linking.open_other(case=walk.reload(), by=walk.hands.dentist)


GAPS = (
    Gap(
        "no case of the opposing denture that is being made",
        Stage.SET_UP,
        "The opposing denture is being made, and its case is not linked. Link it, or let the "
        "manager say where it is made.",
        "linked",
        "",
        meets_one_being_made,
        link,
        "manager",
    ),
)
