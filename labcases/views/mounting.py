"""The mounting of the casts."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from labcases.domain import bench, gates
from labcases.forms.mounting import MountingForm
from labcases.models import Case, Mounting, User
from labcases.views import _reading
from labcases.views._part import Part, part_page


def _row(case: Case) -> Mounting:
    """The stored mounting, or a new one with the jaw record that was prescribed."""
    stored: Mounting | None = getattr(case, "mounting", None)
    return stored or Mounting(case=case, jaw_record=case.prescription.jaw_record)


def _beside(case: Case, _user: User) -> dict[str, Any]:
    row: Mounting | None = getattr(case, "mounting", None)
    return {
        "pairs": _reading.pairs(row, MountingForm),
        "missing": _reading.gaps(case, gates.mounted(case)),
        "differences": _reading.differences(row, case, {"jaw_record": "jaw_record"}),
    }


PART = Part(
    title="Mounting",
    act="bench work",
    form=MountingForm,
    row_of=_row,
    save=bench.save_mounting,
    template="mounting/page.html",
    then="mounting",
    saved="Mounting saved.",
    beside=_beside,
)


@require_http_methods(["GET", "POST"])
def mounting(request: HttpRequest, code: str) -> HttpResponse:
    """Enter how the casts were mounted and how that was verified."""
    return part_page(request, code, PART)
