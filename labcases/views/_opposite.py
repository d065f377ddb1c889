"""What stands opposite, beside the bench's numbers: findings, what is offered, and the question."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from labcases.domain import natural_teeth, opponent, over_eruption, proposing, teeth
from labcases.domain import proposal_reading as reading
from labcases.enums.proposals import ProposalKind
from labcases.forms.questions import tooth_words
from labcases.models import Case, Proposal, Question
from labcases.templatetags.units import tooth_number


@dataclass(frozen=True)
class Ask:
    """What one tap puts to the dentist about a tooth, or what is put already.

    A natural tooth is proposed as the place of a finding; of any other a question is asked.
    """

    tooth: str
    text: str
    asked: Question | None
    proposes: bool = False
    proposal: Proposal | None = None

    @property
    def about(self) -> str:
        return f"tooth {self.tooth}"

    @property
    def said(self) -> str:
        """What became of the proposal."""
        return reading.answer_words(self.proposal) if self.proposal else ""


@dataclass(frozen=True)
class Finding:
    """A natural tooth beyond the plane: what is seen, where it comes from, what is offered.

    ``tip_mm`` is the same as callipers count it, where they may read this tooth; ``read_mm``
    is what they have read already.
    """

    tooth: str
    text: str
    origin: str
    ask: Ask
    tip_mm: Decimal | None
    read_mm: Decimal | None


def findings(case: Case, notation: str) -> list[Finding]:
    """Natural teeth of the opposing arch that stand beyond the plane, as prescribed."""
    row = case.prescription
    read = {site.tooth: site.tip_height_mm for site in case.sites.all()}
    told = []
    for tooth, height_mm in over_eruption.heights(row).items():
        text = in_numbers(over_eruption.finding(tooth, height_mm), tooth, notation)
        told.append(
            Finding(
                tooth=tooth_number(tooth, notation),
                text=text,
                origin=f"Prescription R{row.revision:02d}, {over_eruption.read_by(row)}",
                ask=ask(
                    case,
                    tooth,
                    f"{over_eruption.stands(tooth, height_mm)}, as prescribed. Does it stay as it "
                    "is, or do you change it before the set-up?",
                ),
                tip_mm=over_eruption.as_tip_height(tooth, height_mm)
                if tooth in teeth.opposing(row)
                else None,
                read_mm=read.get(tooth),
            )
        )
    return told


def of_worn_denture(case: Case, tooth: str) -> Ask | None:
    """The question that opens a tooth of a worn opposing denture, where one is needed."""
    kept_off = opponent.keeps_off(case, tooth)
    if not kept_off or opponent.of(case.prescription) in opponent.BEING_MADE:
        return None
    return ask(
        case,
        tooth,
        f"The set-up marks {tooth_words(tooth)}, of the opposing denture. May the laboratory "
        "adjust it there, or do you?",
    )


def ask(case: Case, tooth: str, text: str) -> Ask:
    return Ask(
        tooth,
        text,
        opponent.asked(case, tooth),
        proposes=natural_teeth.is_natural(case, tooth)
        and not proposing.why_not(case, ProposalKind.NATURAL),
        proposal=reading.of_tooth(case, tooth),
    )


def in_numbers(text: str, tooth: str, notation: str) -> str:
    """A sentence that starts with a tooth, as the reader numbers it."""
    return tooth_number(tooth, notation) + text.removeprefix(tooth)
