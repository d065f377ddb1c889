"""Every act that is written into history, and how it is undone, or why it is not.

One row an act: the part and the act as the history names them, then the way back or the reason
why there is none. ``tests/labcases/domain/test_acts.py`` reads the acts off the code and fails
for one that has no row here.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto


class Way(Enum):
    """The verb that takes an act back (``domain/undo.py``)."""

    RESTORE = auto()
    """The row gets the values that it had; one that did not stand before goes."""
    DROP = auto()
    """A date that was booked is dropped."""
    STRIKE = auto()
    """A line of a log is struck out."""
    REINSTATE = auto()
    """A line that was struck out stands again."""
    WITHDRAW = auto()
    """A question or a proposal that nobody answered is taken back."""
    UNPACK = auto()
    """A box that has not left is unpacked."""
    TAKE_OUT = auto()
    """A picture is taken out of view."""
    PUT_BACK = auto()
    """A picture that was taken out is in view again."""
    STEP_BACK = auto()
    """The case goes back to the stage that it came from."""


@dataclass(frozen=True)
class Act:
    """How an act is undone: by whom of the access table, and until when."""

    way: Way | None = None
    why_not: str = ""
    may: tuple[str, ...] = ()
    """Acts of the access table; a person needs one of them, then as now."""
    until_it_goes_on: bool = True
    """Only until the case goes to another stage."""


def _back(way: Way, *may: str, until_it_goes_on: bool = True) -> Act:
    return Act(way, may=may, until_it_goes_on=until_it_goes_on)


def _not(why: str) -> Act:
    return Act(why_not=why)


BENCH = "bench work"
_SAVED = _back(Way.RESTORE, BENCH)
_LOGGED = _back(Way.STRIKE, BENCH)
_STRUCK = _back(Way.REINSTATE, BENCH)
_SAID = _not("What was said in a thread stays. Say the next thing there.")
_COMPUTED = _not("An answer is kept with its question. Compute it again instead.")
_TAKEN_BACK = _not("It followed from another act, and goes with that.")
_PACKED_AGAIN = _not("What was in the box before is not kept. Pack it again.")
_PAPER = _not("What was said of a signed paper stays. Give it up, or begin another.")
_ON_PAPER = _not("What a signed paper says stands. Type the next paper.")
_REPORT = _not("What was reported stays. Strike the report out, or report what else happened.")
_COMPLAINT = _not("What was said of a complaint stays. Write a further entry, or close it.")
_DELIVERY = _not("What an office reports stays in the history. Correct the report itself.")

_MARK = _not("No text of a mark is kept but the last one. Write the right one.")

#: (part, act); a star stands for any words.
ACTS: dict[tuple[str, str], Act] = {
    ("case", "opened"): _not("A case stays. Cancel it, with a reason."),
    ("case", "changed"): _back(Way.RESTORE, BENCH, until_it_goes_on=False),
    ("case", "remade"): _not("The new case stays. Cancel it, with a reason."),
    ("case", "opened as a remake"): _not("A case stays. Cancel it, with a reason."),
    ("case", "linked"): _not("Unlink the cases, with a reason."),
    ("case", "unlinked"): _not("Link the cases again."),
    ("case", "put on hold"): _back(Way.RESTORE, "hold a case", until_it_goes_on=False),
    ("case", "taken off hold"): _back(Way.RESTORE, "hold a case", until_it_goes_on=False),
    ("stage", "moved"): _back(
        Way.STEP_BACK,
        BENCH,
        *("send the case", "release", "dispatch", "receive", "record a delivery"),
    ),
    ("stage", "passed a gate"): _not(
        "Who goes on without what is open has given a reason that prints. Take the case back."
    ),
    ("case", "silenced"): _TAKEN_BACK,
    ("case", "no longer silenced"): _TAKEN_BACK,
    ("incidents", "reported"): _REPORT,
    ("incidents", "closed"): _REPORT,
    ("incidents", "struck out"): _REPORT,
    ("complaints", "entered"): _COMPLAINT,
    ("complaints", "looked into"): _COMPLAINT,
    ("complaints", "somebody was told"): _COMPLAINT,
    ("complaints", "closed"): _COMPLAINT,
    ("complaints", "opened again"): _COMPLAINT,
    ("complaints", "struck out"): _not("What was struck out stays readable. Enter it anew."),
    ("identity", "confirmed"): _not("Whoever has read both codes has read them. Report a doubt."),
    ("checks", "taken back"): _TAKEN_BACK,
    ("stage", "brought back"): _TAKEN_BACK,
    ("dates", "entered"): _back(Way.DROP, "book dates", "propose dates", until_it_goes_on=False),
    ("dates", "changed"): _back(Way.RESTORE, "book dates", "propose dates", until_it_goes_on=False),
    ("dates", "confirmed"): _back(Way.RESTORE, "confirm surgery", until_it_goes_on=False),
    ("dates", "confirmed on paper"): _ON_PAPER,
    ("dates", "dropped"): _TAKEN_BACK,
    ("dates", "seen"): _not(
        "What somebody has seen they have seen. Ask a question about the date."
    ),
    ("prescription", "changed"): _back(Way.RESTORE, "write a prescription"),
    ("prescription", "signed"): _not("A signature stands. Make a revision."),
    ("prescription", "signed on paper"): _not("A signature stands. Make a revision."),
    ("signed paper", "began"): _PAPER,
    ("signed paper", "handed over"): _PAPER,
    ("signed paper", "confirmed"): _PAPER,
    ("signed paper", "typed again"): _PAPER,
    ("signed paper", "sent back"): _PAPER,
    ("signed paper", "gave up"): _PAPER,
    ("prescription", "started a revision"): _not(
        "A revision that was started changes nothing until it is signed. Leave it as a draft."
    ),
    ("proposal", "raised"): _back(Way.WITHDRAW, "raise a proposal", until_it_goes_on=False),
    ("proposal", "withdrawn"): _not("A proposal that was withdrawn stays so. Raise a new one."),
    ("proposal", "answered"): _not("The dentist's answer stands. Raise another proposal."),
    ("proposal", "answered on paper"): _ON_PAPER,
    ("articulator record", "approved"): _TAKEN_BACK,
    ("question", "asked"): _back(Way.WITHDRAW, "ask a question", until_it_goes_on=False),
    ("question", "answered"): _SAID,
    ("question", "asked again"): _SAID,
    ("question", "remarked"): _SAID,
    ("question", "took up"): _SAID,
    ("question", "closed"): _not("A closed thread stays closed. Ask a new question."),
    ("question", "withdrawn"): _not("A question that was taken back stays so. Ask a new one."),
    ("box", "packed"): _back(Way.UNPACK, "pack a box"),
    ("box", "packed again"): _PACKED_AGAIN,
    ("box", "changed"): _PACKED_AGAIN,
    ("box", "sent"): _not("A box that has left is on the road. Tell the house that it goes to."),
    ("box", "arrived"): _not("A box that has come is here. Ask about what is missing."),
    ("box", "reported"): _not("What was reported stays. Say that the box turned up."),
    ("box", "turned up"): _not("It was said to the other house. Report the box again."),
    ("difference", "settled"): _not("Both houses go by it. Strike the line out, with a reason."),
    ("difference", "struck out"): _not("Settle the difference anew."),
    ("box", "taken in"): _not("What was counted stays. Ask about what is missing or too much."),
    ("disinfection", "entered"): _back(Way.STRIKE, "take in a box", until_it_goes_on=False),
    ("disinfection", "struck out"): _not("What counts as contaminated stays so. Log it anew."),
    ("photographs and papers", "added"): _back(
        Way.TAKE_OUT, "add a photograph or paper", until_it_goes_on=False
    ),
    ("photographs and papers", "taken out"): _back(
        Way.PUT_BACK, "add a photograph or paper", until_it_goes_on=False
    ),
    ("photographs and papers", "confirmed"): _not(
        "The laboratory may have seen the face already. Take the photograph out of view."
    ),
    ("impressions", "entered"): _LOGGED,
    ("impressions", "struck out"): _STRUCK,
    ("impressions", "poured"): _not("Pouring is said once. Strike the line out, enter it anew."),
    ("casts", "entered"): _LOGGED,
    ("casts", "struck out"): _STRUCK,
    ("inspections of casts", "entered"): _LOGGED,
    ("inspections of casts", "struck out"): _STRUCK,
    ("trays, bases and rims", "entered"): _LOGGED,
    ("trays, bases and rims", "struck out"): _STRUCK,
    ("jaw records", "entered"): _LOGGED,
    ("jaw records", "struck out"): _STRUCK,
    ("mounting", "entered"): _SAVED,
    ("mounting", "changed"): _SAVED,
    ("mounting", "sent back"): _not("What stood on it was taken back with it. Mount anew."),
    ("mounting", "taken back"): _TAKEN_BACK,
    ("articulator record", "entered"): _SAVED,
    ("articulator record", "changed"): _SAVED,
    ("articulator record", "adopted"): _SAVED,
    ("articulator record", "followed the marks"): _SAVED,
    ("articulator record", "acknowledged"): _SAVED,
    ("check records", "entered"): _LOGGED,
    ("check records", "struck out"): _STRUCK,
    ("tooth selection", "entered"): _SAVED,
    ("tooth selection", "changed"): _SAVED,
    ("teeth in hand", "*"): _not(
        "Teeth go by their own acts: put them back, discard them, or use them again."
    ),
    ("site *", "entered"): _SAVED,
    ("site *", "changed"): _SAVED,
    ("set-up log", "struck out"): _STRUCK,
    ("set-up log", "pass judged"): _not("Say the other of the pass, or strike it out."),
    ("set-up log", "excursions answered"): _not(
        "Say the other of the mark, or strike the pass out."
    ),
    ("set-up log", "photograph bound"): _back(Way.RESTORE, BENCH, until_it_goes_on=False),
    ("set-up log", "*"): _LOGGED,
    ("clearance check", "computed"): _COMPUTED,
    ("height budget", "computed"): _COMPUTED,
    ("bench check", "entered"): _SAVED,
    ("bench check", "changed"): _SAVED,
    ("comparison of marks", "computed"): _COMPUTED,
    ("comparison of marks", "decided"): _not("Compare the marks anew, and decide about that."),
    ("try-in", "recorded"): _not("A try-in that was judged stands. Revise, or try in again."),
    ("try-in", "waived"): _not("A waiver prints with its reason. Send a try-in out all the same."),
    ("try-in", "recorded on paper"): _ON_PAPER,
    ("try-in", "waived on paper"): _ON_PAPER,
    ("try-in", "taken back"): _TAKEN_BACK,
    ("final wax", "taken back"): _TAKEN_BACK,
    ("release", "taken back"): _TAKEN_BACK,
    ("final wax", "entered"): _SAVED,
    ("final wax", "changed"): _SAVED,
    ("final wax", "approved"): _not("An approval stands. A change of the wax asks for it anew."),
    ("final wax", "approved on paper"): _ON_PAPER,
    ("bench plan", "entered"): _SAVED,
    ("bench plan", "changed"): _SAVED,
    ("bench plan", "levelled"): _SAVED,
    ("processing handoff", "handed over"): _not("What was handed over to processing is frozen."),
    ("processing record", "entered"): _SAVED,
    ("processing record", "changed"): _SAVED,
    ("processing record", "gave up"): _not("What was given up stays so. Begin another processing."),
    ("steps of processing", "entered"): _LOGGED,
    ("steps of processing", "struck out"): _STRUCK,
    ("materials of processing", "entered"): _LOGGED,
    ("materials of processing", "struck out"): _STRUCK,
    ("remount", "entered"): _LOGGED,
    ("remount", "struck out"): _STRUCK,
    ("remount checklist", "entered"): _SAVED,
    ("remount checklist", "changed"): _SAVED,
    ("remount checklist", "taken back"): _TAKEN_BACK,
    ("finishing", "entered"): _SAVED,
    ("finishing", "changed"): _SAVED,
    ("finishing", "taken back"): _TAKEN_BACK,
    ("text of the mark", "entered"): _MARK,
    ("text of the mark", "changed"): _MARK,
    ("device statement", "entered"): _LOGGED,
    ("device statement", "struck out"): _STRUCK,
    ("lots at the release", "entered"): _LOGGED,
    ("lots at the release", "struck out"): _STRUCK,
    ("release", "entered"): _SAVED,
    ("release", "changed"): _SAVED,
    ("release", "looked at again"): _not("A second look stands. A change asks for it anew."),
    ("reviews", "entered"): _back(Way.STRIKE, "record a review"),
    ("reviews", "struck out"): _back(Way.REINSTATE, "record a review"),
    ("clinical remount", "entered"): _back(Way.STRIKE, "remount after delivery"),
    ("clinical remount", "struck out"): _back(Way.REINSTATE, "remount after delivery"),
    ("reline", "entered"): _back(Way.STRIKE, "record a reline"),
    ("reline", "struck out"): _back(Way.REINSTATE, "record a reline"),
    ("decision on the denture", "decided"): _not("A decision is kept. Decide anew."),
    ("check on arrival", "entered"): _DELIVERY,
    ("check on arrival", "changed"): _DELIVERY,
    ("surgery", "entered"): _DELIVERY,
    ("surgery", "changed"): _DELIVERY,
    ("delivery", "settled"): _not("The office reports the delivery itself, at any time."),
    ("delivery", "entered"): _DELIVERY,
    ("delivery", "changed"): _DELIVERY,
    ("erasure", "asked for"): _not("What was taken out is kept nowhere."),
    ("erasure", "redacted"): _TAKEN_BACK,
    ("erasure", "erased"): _not("What was erased is gone."),
    ("case bundle", "exported"): _not("A file that left the house does not come back."),
}

UNDID = "undid"
_UNDONE = _not("An undo is not undone. Do it anew.")
_UNKNOWN = _not("Nobody has said how this act is undone.")


def act_of(part: str, act: str) -> Act:
    """The row of an act."""
    if act == UNDID:
        return _UNDONE
    return ACTS[key] if (key := key_of(part, act)) else _UNKNOWN


def key_of(part: str, act: str) -> tuple[str, str] | None:
    """The key under which an act stands in the table, if it does."""
    short = f"{part.split(' ')[0]} *"
    keys = ((part, act), (short, act), (part, "*"))
    return next((key for key in keys if key in ACTS), None)
