"""The moves that a case can make now, each with its button, its lacks and its people."""

from __future__ import annotations

from dataclasses import dataclass

from labcases.domain import access, final_wax, gates, stages
from labcases.domain.gates import Missing
from labcases.domain.stages import Way
from labcases.enums import ENDED_EARLY, BoxContent, BoxDirection, Position, Stage
from labcases.forms.case import MoveForm
from labcases.models import Box, Case, FinalWax, User
from labcases.views._refusal import listed

VERBS: dict[Stage, str] = {
    Stage.SENT: "Send the case",
    Stage.ACCEPTED: "Accept the case",
    Stage.TRAY: "Make a tray",
    Stage.MASTER_CAST: "Begin master cast and rims",
    Stage.JAW_RECORDS: "Hand over for jaw records",
    Stage.MOUNTING: "Begin the mounting",
    Stage.SETTINGS: "Begin the settings",
    Stage.SET_UP: "Begin the set-up",
    Stage.TRY_IN: "Hand over for try-in",
    Stage.FINAL_WAX: "Begin the final wax",
    Stage.PROCESSING: "Begin processing",
    Stage.REMOUNT: "Begin the remount",
    Stage.FINISHING: "Begin finishing",
    Stage.RELEASED: "Release the denture",
    Stage.DISPATCHED: "Dispatch the case",
    Stage.RECEIVED: "Receive the denture",
    Stage.DELIVERED: "Report the denture as delivered",
    Stage.IN_REVIEW: "Begin the review",
    Stage.CLOSED: "Close the case",
    Stage.DECLINED: "Decline the case",
    Stage.CANCELLED: "Cancel the case",
}

# What is true once a case was moved on.
MOVED: dict[Stage, str] = {
    Stage.SENT: "The case is on its way to the laboratory.",
    Stage.ACCEPTED: "The case is accepted.",
    Stage.TRAY: "The case is at the tray now.",
    Stage.MASTER_CAST: "The master cast and the rims are begun.",
    Stage.JAW_RECORDS: "The case is with the office for the jaw records.",
    Stage.MOUNTING: "The mounting is begun.",
    Stage.SETTINGS: "The settings are begun.",
    Stage.SET_UP: "The set-up is begun.",
    Stage.TRY_IN: "The case is with the office for the try-in.",
    Stage.FINAL_WAX: "The final wax is begun.",
    Stage.PROCESSING: "Processing is begun.",
    Stage.REMOUNT: "The remount is begun.",
    Stage.FINISHING: "Finishing is begun.",
    Stage.RELEASED: "The denture is released.",
    Stage.DISPATCHED: "The denture is on its way to the office.",
    Stage.RECEIVED: "The denture is received.",
    Stage.DELIVERED: "The denture is reported as delivered.",
    Stage.IN_REVIEW: "The review is begun.",
    Stage.CLOSED: "The case is closed.",
    Stage.DECLINED: "The case is declined.",
    Stage.CANCELLED: "The case is cancelled.",
}

# The try-in ends in one of these: the case goes on, not back.
AFTER_TRY_IN: dict[Stage, str] = {
    Stage.SET_UP: "Go on with the set-up",
    Stage.JAW_RECORDS: "Ask for a new jaw record",
    Stage.FINAL_WAX: "Begin the final wax",
}

# Who has the case in hand, by the plain state that an office sees.
IN_HAND = {
    "with us": "The office has the case in hand.",
    "on the way": "The case is on the way to the laboratory.",
    "at the laboratory": "The laboratory has the case in hand.",
    "coming back": "The case is on its way to the office.",
    "here": "The denture is at the office.",
}
# What the office needs in hand while it has the case, and how to say that it never left.
NEEDED_AT_OFFICE = {
    Stage.JAW_RECORDS: (BoxContent.RIM, "No box with a record base has left for the office yet."),
    Stage.TRY_IN: (
        BoxContent.WAX_SET_UP,
        "No box with the wax set-up has left for the office yet.",
    ),
}


@dataclass(frozen=True)
class Offer:
    """One move as the page of a case shows it."""

    to: Stage
    heading: str
    button: str
    who: str
    allowed: bool
    open: bool
    lacks: list[dict[str, str]]
    may_pass: bool
    who_passes: str
    form: MoveForm


@dataclass(frozen=True)
class Offers:
    """Every move out of the present stage, sorted by what it is for."""

    forward: list[Offer]
    back: list[Offer]
    ends: list[Offer]
    everywhere: list[dict[str, str]]
    whom: str


def offers(case: Case, user: User, tried: MoveForm | None = None) -> Offers:
    """Moves of a case; ``tried`` keeps the reason that was typed into a refused one."""
    held = access.acts(user, case)
    found = stages.ways(case, user)
    typed = tried.data.get("to") if tried else None
    ends = [way for way in found if way.to in ENDED_EARLY]
    rest = [way for way in found if way.to not in ENDED_EARLY]
    shown = {way.to: _offer(case, way, held, tried if typed == way.to else None) for way in found}
    forward = [shown[way.to] for way in rest if not way.back]
    if case.stage == Stage.TRY_IN:
        # A new jaw record is the way that is rarely taken.
        forward.sort(key=lambda offer: offer.to == Stage.JAW_RECORDS)
    return Offers(
        forward=forward,
        back=[shown[way.to] for way in rest if way.back],
        ends=[shown[way.to] for way in ends if way.allowed],
        everywhere=listed(case, _everywhere(rest)),
        whom=_whom(case),
    )


def moved_words(came_from: Stage, to: Stage) -> str:
    """What a person reads after moving a case."""
    back = (came_from, to) in gates.WAYS_BACK and came_from != Stage.TRY_IN
    return f"The case is back at {to.label.lower()}." if back else MOVED[to]


def people(acts: frozenset[str] | set[str]) -> str:
    """The roles that have one of these acts: "technician or laboratory manager"."""
    columns = set().union(*(access.MAY[act] for act in acts)) if acts else set()
    words = [str(position.label) for position in Position if position in columns]
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 2 else words)


def _everywhere(rest: list[Way]) -> list[Missing]:
    return [item for item in rest[0].missing if _keeps_everywhere(item)] if rest else []


def _keeps_everywhere(item: Missing) -> bool:
    """A hold, an open question, proposal or incident keeps a case from every stage: said once."""
    return item.part in ("questions", "proposals", "incidents") or item.field == "hold"


def _offer(case: Case, way: Way, held: frozenset[str], tried: MoveForm | None) -> Offer:
    return Offer(
        to=way.to,
        heading=f"Back to {way.to.label.lower()}" if way.back else str(way.to.label),
        button=_button(case, way, held),
        who=people({way.act}),
        allowed=way.allowed,
        open=way.open,
        lacks=listed(case, (item for item in way.missing if not _keeps_everywhere(item))),
        may_pass=way.passable and way.passes <= held,
        who_passes=people(way.passes) if way.passable else "",
        form=tried or MoveForm.for_move(case, way.to),
    )


def _button(case: Case, way: Way, held: frozenset[str]) -> str:
    if way.act == stages.ON_PAPER and "send the case" not in held:
        # The laboratory writes down what an office did that sends paper.
        return "Enter the case as sent"
    if way.back:
        return f"Go back to {way.to.label.lower()}"
    if case.stage == Stage.TRY_IN:
        return AFTER_TRY_IN.get(way.to, VERBS[way.to])
    return VERBS[way.to]


def _whom(case: Case) -> str:
    if not case.is_open:
        return f"The case is {case.get_stage_display().lower()}. Nothing more is to be done."
    if case.stage == Stage.SENT and _came(case):
        return "The box is at the laboratory, which has not accepted the case yet."
    text = IN_HAND[stages.plain_state(case)]
    if _wax_waits(case):
        return f"{text} It waits for the dentist to approve the final wax."
    content, lack = NEEDED_AT_OFFICE.get(Stage(case.stage), (None, ""))
    left = {item.content for box in _sent(case, BoxDirection.TO_OFFICE) for item in box.items.all()}
    return f"{text} {lack}" if content and content not in left else text


def _wax_waits(case: Case) -> bool:
    """The laboratory has done what it does before the dentist is asked."""
    wax: FinalWax | None = getattr(case, "final_wax", None)
    if case.stage != Stage.FINAL_WAX or wax is None or wax.approved_at is not None:
        return False
    return not any(final_wax.unfinished(case, wax))


def _came(case: Case) -> bool:
    """Every box that was sent to the laboratory is taken in, and there was one."""
    sent = _sent(case, BoxDirection.TO_LABORATORY)
    return bool(sent) and all(box.received_at for box in sent)


def _sent(case: Case, direction: BoxDirection) -> list[Box]:
    return [box for box in case.boxes.all() if box.direction == direction and box.sent_at]
