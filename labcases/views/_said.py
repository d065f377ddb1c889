"""What was typed from a paper that is no prescription, in words."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.text import capfirst

from labcases.domain import paper_delivery, sending_back
from labcases.domain import proposal_reading as reading
from labcases.domain.paper_approvals import answers_of, try_in_values
from labcases.enums import Stage, TryInOutcome
from labcases.enums.signed_papers import PaperSays
from labcases.models import SignedPaper, TryIn
from labcases.outputs import tryin_view
from labcases.outputs.tryin_view import WORDS
from labcases.reference.checklists import lines_of, mouth_pauses
from labcases.reference.delivery import arrival_checklist, delivery_checklist
from labcases.templatetags.units import due_date, mm, tooth_number

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
    if paper.says == PaperSays.DELIVERY:
        return _delivery(paper)
    return [_pair("Approved", "The final wax as it is entered, and the trimming of the cast")]


def _try_in(paper: SignedPaper) -> Pairs:
    said = paper.said
    row = TryIn(case=paper.case, **try_in_values(said))
    follows = sending_back.follows(paper.case, outcome=row.outcome, answers=row.answers)
    found = [_pair("Outcome", str(TryInOutcome(row.outcome).label))]
    if follows:
        again = "; ".join(redo.text for redo in follows.again)
        found.append(_pair("What follows", f"{follows.goes} {again}."))
    found += [_pair("What else changes", row.changes), *tryin_view.numbers(row)]
    for line in lines_of(mouth_pauses(paper.case.prescription.arch)):
        answer = WORDS[row.answers.get(line.key, "")]
        words = row.words.get(line.key, "")
        found.append(_pair(line.text, f"{answer}: {words}" if words else answer))
    return found


def _proposal(paper: SignedPaper) -> Pairs:
    rows = {row.pk: row for row in paper.case.proposals.all()}
    found = []
    for said in answers_of(paper.said):
        row = rows[said["proposal"]]
        number = Decimal(said["number"]) if said["number"] else None
        found += [
            _pair("Proposal", f"{row.number}. {reading.words(row)}"),
            _pair("Answer", reading.label(row.kind, said["answer"])),
            *([_pair("The number of the change", reading.shown(row, number))] if number else []),
            _pair("The dentist's words", said["text"]),
        ]
    return found


def _delivery(paper: SignedPaper) -> Pairs:
    """Everything of the arrival, the surgery and the delivery that is not empty."""
    found = []
    for part, lines in (
        ("arrival", lines_of(arrival_checklist())),
        ("surgery", ()),
        ("delivery", lines_of(delivery_checklist())),
    ):
        row = paper_delivery.row(part, paper.case, paper.said)
        for name in paper.said[part]:
            told = _column(row, name, paper.case.laboratory.notation)
            if told:
                label = capfirst(row._meta.get_field(name).verbose_name.removesuffix(" mm"))
                found.append(_pair(label, told))
        for line in lines:
            answer = WORDS[row.answers.get(line.key, "")]
            words = row.words.get(line.key, "")
            found.append(_pair(line.text, f"{answer}: {words}" if words else answer))
    return found


def _column(row: Any, name: str, notation: str) -> str:
    """A value as people read it; empty where nothing was typed, and of lines."""
    value = getattr(row, name)
    if name in ("answers", "words") or value in (None, "", []):
        return ""
    if name == "centric":
        return tryin_view.closings(value)
    if name in ("teeth_out", "adjusted"):
        return " ".join(tooth_number(tooth, notation) for tooth in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return due_date(value)
    if isinstance(value, Decimal):
        return mm(value)
    chosen = row._meta.get_field(name).choices
    return str(getattr(row, f"get_{name}_display")() if chosen else value)


def _pair(label: str, value: str) -> dict[str, str]:
    return {"label": label, "value": value}
