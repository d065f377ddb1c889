"""What every paper carries: its code, the two identifiers, dates, cautions."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

import segno
from django.conf import settings
from django.utils import timezone

from labcases import codes
from labcases.domain import incident_effects, on_paper, opponent, pairs, stages
from labcases.domain.queries import plan_of
from labcases.enums import Notation, PaperKind, PaperSize, PrescriptionStatus
from labcases.models import Case, HistoryEntry, Organisation, User
from labcases.outputs.check_view import PROPOSAL

PURPOSE = (
    "Record keeping and bench arithmetic for laboratories. Not for diagnosis or treatment "
    "decisions, and not cleared or certified as a medical device. In some places software that "
    "informs treatment is one: check before use."
)


@dataclass(frozen=True)
class PaperHead:
    """The strip on top of a paper. The code holds case, revision and kind of paper."""

    title: str
    paper_code: str
    case_code: str
    qr: str
    revision: str
    patient_code: str
    office: Organisation
    laboratory: Organisation
    arch: str
    stage: str
    surgery_on: date | None
    confirmed: bool
    printed_at: Any
    printed_by: str
    demo: bool
    signed: bool
    on_paper: str
    """Empty where the revision was signed by a log-in; else the signature in words."""
    linked: str


def qr_svg(text: str) -> str:
    """A QR code as inline SVG: level Q, quiet zone of four modules (ISO/IEC 18004)."""
    code = segno.make(text, error="q", micro=False, boost_error=False)
    return str(code.svg_inline(border=4, omitsize=True, svgclass="qr", lineclass=None))


def head(case: Case, kind: PaperKind, by: User) -> PaperHead:
    """The head of one paper of a case, for the revision in force."""
    row = case.prescription
    code = codes.paper_code(case.code, row.revision, kind.value)
    return PaperHead(
        title=kind.label,
        paper_code=code,
        case_code=codes.grouped(case.code),
        qr=qr_svg(code),
        revision=f"R{row.revision:02d}",
        patient_code=case.patient.code,
        office=case.office,
        laboratory=case.laboratory,
        arch=row.get_arch_display(),
        stage=stages.stage_words(case),
        surgery_on=case.surgery_on,
        confirmed=case.surgery_confirmed_at is not None,
        printed_at=timezone.now(),
        printed_by=by.full_name,
        demo=bool(settings.DEMO),
        signed=row.status == PrescriptionStatus.SIGNED,
        on_paper=on_paper.signature(row),
        linked=_linked(case),
    )


def _linked(case: Case) -> str:
    other = pairs.other(case)
    return pairs.named(other) if other else ""


def passed_gates(case: Case) -> list[HistoryEntry]:
    """Gates that were passed with a reason: every later paper says so."""
    return list(
        case.history.filter(act="passed a gate", part="stage").select_related("by").order_by("id")
    )


def common(case: Case, kind: PaperKind, by: User, notation: str) -> dict[str, Any]:
    """Context that all papers share."""
    return {
        "case": case,
        "row": case.prescription,
        "paper": head(case, kind, by),
        "notation": notation,
        "passed": passed_gates(case),
        "plan": plan_of(case),
        "meets": opponent.words(case.prescription),
        "waits_for": stages.waiting_for(case),
        "late_allergies": incident_effects.late_words(case),
        "purpose": PURPOSE,
        "proposal": PROPOSAL,
    }


def reader(user: User, case: Case, organisations: list[Organisation]) -> tuple[Notation, PaperSize]:
    """Notation and paper size of the reader's own house on this case."""
    own = [o for o in organisations if o.pk in (case.office_id, case.laboratory_id)]
    house = own[0] if own else case.laboratory
    return Notation(house.notation), PaperSize(house.paper_size)
