"""Teeth of a prescription as a table: each tooth by both numbers and in words, and what is asked.

A number alone is never enough: eighteen of them name a tooth in both notations, and never the
same one. The patient's name stands nowhere in it.
"""

from __future__ import annotations

from labcases import codes, notation
from labcases.domain import over_eruption, teeth
from labcases.enums import OpposingTooth, ToothStatus
from labcases.models import Case, Prescription
from labcases.outputs import csv_file

HEAD = (
    *("Case", "Revision", "ISO 3950 number", "Universal number", "Tooth", "Prescribed"),
    *("Denture tooth", "Deepest labial pocket mm", "Beyond the occlusal plane mm", "Read by"),
)


def file_name(case: Case) -> str:
    """Case code and revision, as on its papers."""
    return f"{case.code}-R{case.prescription.revision:02d}-teeth.csv"


def content(case: Case) -> bytes:
    """All 32 positions, the upper arch first, from the patient's right."""
    row = case.prescription
    first = (codes.grouped(case.code), f"R{row.revision:02d}, {row.get_status_display().lower()}")
    return csv_file.written(
        HEAD,
        (
            (*first, tooth, notation.universal(tooth), notation.name(tooth), *_said(row, tooth))
            for tooth in (*notation.UPPER, *notation.LOWER)
        ),
    )


def _said(row: Prescription, tooth: str) -> tuple[str, ...]:
    """What the prescription says of a position, from "Prescribed" on."""
    if tooth not in teeth.positions(row.arch):
        opposing = row.opposing.get(tooth)
        label = OpposingTooth(opposing).label if opposing else "not said"
        height_mm = over_eruption.heights(row).get(tooth)
        if height_mm is None:
            return (label, "", "", "", "")
        return (label, "", "", f"{height_mm.normalize():f}", over_eruption.read_by(row))
    status = row.teeth.get(tooth)
    return (
        ToothStatus(status).label if status else "not said",
        "yes" if tooth in teeth.replaced(row) else "no",
        str(row.probing_mm.get(tooth, "")),
        "",
        "",
    )
