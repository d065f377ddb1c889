"""The denture teeth chosen for a case."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from labcases.domain import bench, cautions, gates
from labcases.domain.teeth import replaced
from labcases.forms.teeth import SelectionForm
from labcases.models import Case, ToothSelection, User
from labcases.views import _reading
from labcases.views._answers import in_full
from labcases.views._lookup import notation_for
from labcases.views._part import Part, part_page

LONGEST_MOULD = 80


def _row(case: Case) -> ToothSelection:
    """The stored selection, or a new one that starts from what was prescribed."""
    stored: ToothSelection | None = getattr(case, "selection", None)
    if stored:
        return stored
    prescribed = case.prescription
    return ToothSelection(
        case=case,
        shade=prescribed.shade,
        anterior_mould=prescribed.mould[:LONGEST_MOULD],
        material=prescribed.tooth_material,
    )


def _beside(case: Case, user: User) -> dict[str, Any]:
    row: ToothSelection | None = getattr(case, "selection", None)
    prescribed = case.prescription
    material = row.material if row else prescribed.tooth_material
    return {
        "pairs": _reading.pairs(row, SelectionForm),
        "missing": _reading.gaps(case, gates.teeth_in_hand(case)),
        "differences": _reading.differences(
            row, case, {"shade": "shade", "material": "tooth_material"}
        ),
        "cautions": cautions.of_material(prescribed, material),
        "prescribed": prescribed,
        "to_set": [in_full(tooth, notation_for(user, case)) for tooth in replaced(prescribed)],
    }


PART = Part(
    title="Teeth",
    act="bench work",
    form=SelectionForm,
    row_of=_row,
    save=bench.save_selection,
    template="teeth/page.html",
    then="teeth",
    saved="Tooth selection saved.",
    beside=_beside,
)


@require_http_methods(["GET", "POST"])
def selection(request: HttpRequest, code: str) -> HttpResponse:
    """Enter which teeth were chosen, their lots, and whether they are in hand."""
    return part_page(request, code, PART)
