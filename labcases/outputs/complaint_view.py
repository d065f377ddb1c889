"""A complaint as its pages and the paper for outsiders tell it; no patient stands on the paper."""

from __future__ import annotations

from typing import Any

from django.utils import timezone

from labcases import codes
from labcases.domain import complaints
from labcases.domain.complaints import Told
from labcases.models import Complaint, ComplaintEntry, User
from labcases.outputs import _house_paper
from labcases.reference import vigilance
from labcases.templatetags.units import long_date, long_time

GLYPHS = {"open": "warning", "looked into": "not yet", "closed": "done"}


def line(one: Told) -> dict[str, Any]:
    """One row of a list."""
    return {
        "one": one,
        "row": one.row,
        "code": codes.grouped(one.row.case.code),
        "words": complaints.in_words(one.row),
        "gravity": one.gravity.label,
        "glyph": "ended" if one.struck else GLYPHS[one.state.value],
        "state": "Struck out" if one.struck else one.state.label,
        "struck": struck_words(one.row),
        "outcome": one.outcome,
        "first_due": complaints.first_due(one),
    }


def build_context(one: Told) -> dict[str, Any]:
    """What the page and the paper of one complaint show."""
    return {
        **line(one),
        "due": complaints.whom_to_tell(one),
        "definitions": vigilance.definitions(),
        "beside": vigilance.beside(),
        "not_read": vigilance.not_read(),
        "caution": vigilance.caution(),
        "device": device_words(one),
        "entries": [
            {"row": row, "words": complaints.entry_words(row), "struck": struck_words(row)}
            for row in one.written
        ],
    }


def struck_words(row: Complaint | ComplaintEntry) -> str:
    """By whom it was struck out, when and why; nothing while it stands."""
    if row.struck_at is None:
        return ""
    return f"struck out by {row.struck_by}, {long_time(row.struck_at)}: {row.struck_reason}"


def device_words(one: Told) -> str:
    """The denture by its case code and its statement, with its arch."""
    row = one.row
    arch = row.case.prescription.get_arch_display()
    stated = f", statement {row.statement.number}" if row.statement else ""
    return f"{arch} immediate denture {codes.grouped(row.case.code)}{stated}"


def pdf(one: Told, *, by: User) -> bytes:
    """The paper for outsiders.

    Raises
    ------
    labcases.outputs.pdf.PdfOff
        This machine cannot make PDFs.
    """
    case = one.row.case
    return _house_paper.pdf(
        template="outputs/complaint.html",
        told=build_context(one),
        laboratory=case.laboratory,
        title=f"Complaint {codes.grouped(case.code)}-{one.row.pk}, "
        f"{long_date(timezone.localdate())}",
        by=by,
    )
