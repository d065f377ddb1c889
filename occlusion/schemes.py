"""What each occlusal scheme wants of a tooth in an excursion, as literal tables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from occlusion.teeth import is_anterior

Scheme = Literal["balanced", "lingualised", "group", "canine", "flat"]
Role = Literal["protrusive", "working", "balancing"]
State = Literal["interference", "interference possible", "contact", "none predicted"]
Predicted = Literal["interference", "contact", "none predicted"]
Verdict = Literal["as wanted", "not as wanted", "scheme silent"]
Wish = Literal["contact", "no contact", "nothing said"]


@dataclass(frozen=True)
class Wanted:
    """What a scheme wants, why, and the key of its source."""

    wish: Wish
    reason: str
    source: str = "practice"


POSTERIOR: dict[tuple[Scheme, Role], Wanted] = {
    ("balanced", "protrusive"): Wanted(
        "contact", "Balance: posterior teeth hold the base in front"
    ),
    ("balanced", "working"): Wanted("contact", "Balance: the working side carries the movement"),
    ("balanced", "balancing"): Wanted("contact", "Balance: the other side keeps the base seated"),
    ("lingualised", "protrusive"): Wanted("contact", "Upper lingual cusps carry the balance"),
    ("lingualised", "working"): Wanted("contact", "Upper lingual cusps carry the balance"),
    ("lingualised", "balancing"): Wanted("contact", "Upper lingual cusps carry the balance"),
    ("group", "protrusive"): Wanted("nothing said", "The rule is about lateral excursions"),
    ("group", "working"): Wanted("contact", "The working teeth guide together"),
    ("group", "balancing"): Wanted("no contact", "The balancing side stays free"),
    ("canine", "protrusive"): Wanted("no contact", "Front teeth part the posterior ones"),
    ("canine", "working"): Wanted("no contact", "The canine parts the posterior teeth"),
    ("canine", "balancing"): Wanted("no contact", "The balancing side stays free"),
    ("flat", "protrusive"): Wanted("nothing said", "Without cusps a gap behind is accepted"),
    ("flat", "working"): Wanted("nothing said", "Only maximum intercuspation is asked for"),
    ("flat", "balancing"): Wanted("nothing said", "Only maximum intercuspation is asked for"),
}
"""Premolars and molars."""

CANINE: dict[tuple[Scheme, Role], Wanted] = {
    ("canine", "working"): Wanted("contact", "The working canine guides"),
    ("group", "working"): Wanted("contact", "The working canine is one of the guiding teeth"),
    ("canine", "balancing"): Wanted("no contact", "The balancing side stays free"),
    ("group", "balancing"): Wanted("no contact", "The balancing side stays free"),
}
"""Canines, where the scheme speaks of them; elsewhere nothing is said of front teeth."""

_NOTHING = Wanted("nothing said", "The scheme says nothing of this tooth")

VERDICTS: dict[tuple[Wish, Predicted], Verdict] = {
    ("contact", "contact"): "as wanted",
    ("contact", "none predicted"): "not as wanted",
    ("contact", "interference"): "not as wanted",
    ("no contact", "contact"): "not as wanted",
    ("no contact", "none predicted"): "as wanted",
    ("no contact", "interference"): "not as wanted",
    ("nothing said", "contact"): "scheme silent",
    ("nothing said", "none predicted"): "scheme silent",
    ("nothing said", "interference"): "not as wanted",
}
"""An interference is never as wanted."""

WHEN_POSSIBLE: dict[Wish, Verdict | None] = {
    "contact": None,
    "no contact": "not as wanted",
    "nothing said": "scheme silent",
}
"""Where an interference is possible but not predicted. None: judged on the prediction,
because a wanted contact always lies next to an interference."""


def wanted(scheme: Scheme, role: Role, *, tooth: str) -> Wanted:
    """What the scheme wants of this tooth in this role."""
    if not is_anterior(tooth):
        return POSTERIOR[scheme, role]
    return CANINE.get((scheme, role), _NOTHING) if tooth[1] == "3" else _NOTHING


def judge(
    scheme: Scheme, role: Role, *, tooth: str, predicted: Predicted, possible: bool
) -> Verdict:
    """The verdict on a tooth.

    Parameters
    ----------
    scheme, role : str
        As prescribed, and as the excursion makes it.
    tooth : str
        ISO 3950.
    predicted : {"interference", "contact", "none predicted"}
        What the values as read give.
    possible : bool
        An interference is not predicted, but possible within the reading errors.
    """
    wish = wanted(scheme, role, tooth=tooth).wish
    doubtful = WHEN_POSSIBLE[wish] if possible and predicted != "interference" else None
    return doubtful or VERDICTS[wish, predicted]
