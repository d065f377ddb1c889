"""The list of the devices of a period as a file and as a paper. Never a patient's name."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from labcases import codes
from labcases.domain import devices
from labcases.domain.devices import Device
from labcases.models import Organisation, User
from labcases.outputs import _house_paper, csv_file
from labcases.reference.devices import caution
from labcases.templatetags.units import long_date

HEAD = (
    *("Device", "What", "Patient code", "Office", "Dispatched on", "Delivered on"),
    *("Statement", "Drawn up on"),
)


def rows(found: Iterable[Device]) -> list[dict[str, Any]]:
    return [{"one": one, "code": codes.grouped(one.code)} for one in found]


def summary(found: Sequence[Device]) -> str:
    """How many, and how many of them have no statement, in one sentence."""
    count = len(found)
    lacking = sum(one.statement is None for one in found)
    said = f"{count} device{'' if count == 1 else 's'} dispatched"
    return f"{said}; {lacking} without a statement." if lacking else f"{said}."


def content(found: Iterable[Device]) -> bytes:
    """The bytes of the file."""
    return csv_file.written(
        HEAD,
        (
            [
                one.code,
                one.what,
                one.patient_code,
                one.office,
                one.dispatched_on.isoformat(),
                one.delivered_on.isoformat() if one.delivered_on else "",
                str(one.statement or "none"),
                one.stated_on.isoformat() if one.stated_on else "",
            ]
            for one in found
        ),
    )


def pdf(
    laboratory: Organisation, found: Sequence[Device], *, since: date, until: date, by: User
) -> bytes:
    """The paper.

    Raises
    ------
    labcases.outputs.pdf.PdfOff
        This machine cannot make PDFs.
    """
    told = {
        "rows": rows(found),
        "summary": summary(found),
        "since": since,
        "until": until,
        "asks": devices.asks(laboratory),
        "caution": caution(),
    }
    return _house_paper.pdf(
        template="outputs/device_list.html",
        told=told,
        laboratory=laboratory,
        title=f"Devices, {long_date(since)} to {long_date(until)}",
        by=by,
    )
