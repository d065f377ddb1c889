"""The trace of a lot as rows, as a file, and as a paper for a recall. Never a patient's name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from labcases import codes
from labcases.domain import delivered, stages
from labcases.domain.lots import Found, Trace
from labcases.models import Organisation, User
from labcases.outputs import _house_paper, csv_file
from labcases.templatetags.units import long_date

HEAD = (
    *("Office", "Case", "Patient code", "Lot as written", "Of", "Written at", "Date"),
    *("Stage", "Delivered on", "Standing"),
)


def rows(found: Trace) -> list[dict[str, Any]]:
    """A row a place, the cases in the order of the trace."""
    return list(_rows(found.found))


def near(found: Trace) -> list[dict[str, Any]]:
    """Rows of lots that are written nearly alike."""
    return list(_rows(found.near))


def _rows(cases: Iterable[Found]) -> Iterable[dict[str, Any]]:
    today = timezone.localdate()
    for one in cases:
        for use in one.uses:
            yield {
                "case": one.case,
                "code": codes.grouped(one.case.code),
                "patient": one.case.patient.code,
                "office": one.case.office,
                "entry": use.entry,
                "of": use.of,
                "step": use.place.step,
                "page": use.place.case_page,
                "on": use.on,
                "stage": stages.stage_words(one.case),
                "delivered_on": one.delivered_on,
                "no_day": delivered.no_day_words(one.case, today),
                "ended": use.ended,
            }


@dataclass(frozen=True)
class OfficeSheet:
    """What one office is told: a row a case, and no case of any other office."""

    office: Organisation
    rows: list[dict[str, Any]]
    near: list[dict[str, Any]]

    @property
    def delivered(self) -> int:
        return sum(1 for row in self.rows if row["delivered_on"] and row["counts"])


def sheets(found: Trace) -> list[OfficeSheet]:
    """One sheet an office, in the order of their names; each case stands once."""
    offices = {one.case.office.pk: one.case.office for one in (*found.found, *found.near)}
    return [
        OfficeSheet(office, _by_case(found.found, office), _by_case(found.near, office))
        for office in sorted(offices.values(), key=lambda one: (str(one).casefold(), one.pk))
    ]


def _by_case(cases: Iterable[Found], office: Organisation) -> list[dict[str, Any]]:
    """A row a case of one office, with all its places."""
    today = timezone.localdate()
    return [
        {
            "code": codes.grouped(one.case.code),
            "patient": one.case.patient.code,
            "uses": [
                {
                    "entry": use.entry,
                    "of": use.of,
                    "step": use.place.step,
                    "on": use.on,
                    "ended": use.ended,
                }
                for use in one.uses
            ],
            "stage": stages.stage_words(one.case),
            "delivered_on": one.delivered_on,
            "no_day": delivered.no_day_words(one.case, today),
            "counts": one.counts,
        }
        for one in cases
        if one.case.office.pk == office.pk
    ]


def summary(found: Trace) -> str:
    """How many cases, and how many of them are in a mouth, in one sentence."""
    cases = len(found.found)
    said = f"{cases} case{'' if cases == 1 else 's'} with lot {found.lot}"
    counted = f"; {found.delivered} delivered with it" if cases else ""
    shelf = f"; {found.shelf} set{'' if found.shelf == 1 else 's'} on the shelf"
    return f"{said}{counted}{shelf if found.shelf else ''}."


def content(found: Trace) -> bytes:
    """The bytes of the file; what is written nearly alike stands below, told as such."""
    told = [*((row, "") for row in rows(found)), *((row, "nearly alike") for row in near(found))]
    return csv_file.written(
        HEAD,
        (
            [
                str(row["office"]),
                row["case"].code,
                row["patient"],
                row["entry"],
                row["of"],
                row["step"],
                row["on"].isoformat(),
                row["stage"],
                row["delivered_on"].isoformat() if row["delivered_on"] else "",
                "; ".join(part for part in (alike, row["ended"] or "counts") if part),
            ]
            for row, alike in told
        ),
    )


def pdf(laboratory: Organisation, found: Trace, *, by: User) -> bytes:
    """The paper of a recall: a sheet for the laboratory, and one for each office.

    Raises
    ------
    labcases.outputs.pdf.PdfOff
        This machine cannot make PDFs.
    """
    told = {
        "trace": found,
        "sheets": sheets(found),
        "summary": summary(found),
    }
    return _house_paper.pdf(
        template="outputs/lot_trace.html",
        told=told,
        laboratory=laboratory,
        title=f"Lot trace {found.lot}, {long_date(timezone.localdate())}",
        by=by,
    )
