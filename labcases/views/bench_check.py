"""The bench check: what the laboratory looks at before the base leaves for a try-in."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from labcases.domain import bench_check as checks
from labcases.domain import tryin_boxes
from labcases.forms.bench_check import BenchCheckForm
from labcases.models import BenchCheck, Case, User
from labcases.outputs import tryin_view
from labcases.views import _conflict
from labcases.views._part import Part, part_page

__all__ = ["bench_check"]


def _row(case: Case) -> BenchCheck:
    return checks.open_of(case) or BenchCheck(case=case)


def _beside(case: Case, _user: User) -> dict[str, Any]:
    row = checks.open_of(case)
    return {
        "row": row,
        "current": tryin_view.checked(row) if row else None,
        "outdated": row is not None and checks.outdated_since(case, row),
        "past": [
            tryin_view.checked(one)
            for one in case.bench_checks.select_related("try_in", "done_by")
            if one.try_in_id
        ],
        "where": tryin_boxes.whereabouts(case),
    }


PART = Part(
    title="Bench check",
    act="bench work",
    form=BenchCheckForm,
    row_of=_row,
    save=checks.save,
    template="tryin/bench_check.html",
    then="bench_check",
    saved="The bench check is saved.",
    beside=_beside,
    readable=_conflict.of_lines,
)


@require_http_methods(["GET", "POST"])
def bench_check(request: HttpRequest, code: str) -> HttpResponse:
    """Answer the lines, and see what was answered before earlier try-ins."""
    return part_page(request, code, PART)
