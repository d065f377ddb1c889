"""What was typed from a paper that is no prescription, in words."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from labcases import reference
from labcases.domain import proposal_reading as reading
from labcases.enums import Stage, TryInOutcome
from labcases.enums.proposals import ProposalState
from labcases.enums.signed_papers import PaperSays
from labcases.models import SignedPaper
from labcases.outputs.tryin_view import WORDS
from labcases.templatetags.units import due_date, mm

Pairs = list[dict[str, str]]


def said_in_words(paper: SignedPaper) -> Pairs:
    """Label and value of everything that the second member compares with the page."""
    said = paper.said
    if paper.says == PaperSays.SURGERY:
        return [_pair("Surgery and delivery", due_date(date.fromisoformat(said["surgery_on"])))]
    if paper.says == PaperSays.TRY_IN:
        return _try_in(paper)
    if paper.says == PaperSays.WAIVER:
        return [_pair("The try-in is waived, because", said["reason"])]
    if paper.says == PaperSays.GATE:
        return [
            _pair("The case goes on to", str(Stage(said["to"]).label)),
            _pair("Reason on the paper", said["reason"]),
        ]
    if paper.says == PaperSays.PROPOSAL:
        return _proposal(paper)
    return [_pair("Approved", "The final wax as it is entered, and the trimming of the cast")]


def _try_in(paper: SignedPaper) -> Pairs:
    said = paper.said
    measured = said["vertical_mm"]
    found = [
        _pair("Outcome", str(TryInOutcome(said["outcome"]).label)),
        _pair("Vertical between the two marks", mm(Decimal(measured)) if measured else ""),
        _pair("What changes", said["changes"]),
    ]
    for pause in reference.try_in_checklist(paper.case.prescription.arch):
        found += [
            _pair(line.text, WORDS[said["answers"].get(line.key, "")]) for line in pause.lines
        ]
    return found


def _proposal(paper: SignedPaper) -> Pairs:
    said = paper.said
    row = paper.case.proposals.get(pk=said["proposal"])
    number = Decimal(said["number"]) if said["number"] else None
    return [
        _pair("Proposal", f"{row.number}. {reading.words(row)}"),
        _pair("Answer", str(ProposalState(said["answer"]).label)),
        *([_pair("The number of the change", reading.shown(row, number))] if number else []),
        _pair("The dentist's words", said["text"]),
    ]


def _pair(label: str, value: str) -> dict[str, str]:
    return {"label": label, "value": value}
