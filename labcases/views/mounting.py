"""The mounting of the casts: how it was verified, and sending it back when it is not right."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import bench, gates, remounting
from labcases.domain import mounting as mountings
from labcases.enums import ReturnTo
from labcases.forms.mounting import MountingForm, SendBackForm
from labcases.models import Case, Mounting, PastMounting, User
from labcases.views import _reading
from labcases.views._head import head_context
from labcases.views._lookup import case_for, person
from labcases.views._part import Part, part_page

GLYPHS = {
    mountings.AGREED: "done",
    mountings.NOT_AGREED: "warning",
    mountings.OPEN: "not yet",
}


def _row(case: Case) -> Mounting:
    """The stored mounting, or a new one with the jaw record that was prescribed."""
    stored: Mounting | None = getattr(case, "mounting", None)
    return stored or Mounting(case=case, jaw_record=case.prescription.jaw_record)


def _beside(case: Case, _user: User) -> dict[str, Any]:
    row: Mounting | None = getattr(case, "mounting", None)
    verdict = mountings.judge_of(case)
    may_go_back = row is not None and mountings.has_anything(row) and case.stage in remounting.WHILE
    return {
        "pairs": _reading.pairs(row, MountingForm),
        "missing": _reading.gaps(case, gates.mounted(case)),
        "differences": _reading.differences(row, case, {"jaw_record": "jaw_record"}),
        "number": row.number if row else 1,
        "verdict": verdict,
        "verdict_glyph": GLYPHS[verdict.word] if verdict else "",
        "cautions": mountings.cautions(case),
        "past": [_past(one) for one in case.past_mountings.order_by("-id")],
        "back_form": SendBackForm(version=row.version) if row and may_go_back else None,
    }


def _past(row: PastMounting) -> dict[str, Any]:
    """A mounting before this one, as label and value."""
    return {
        "row": row,
        "glyph": GLYPHS.get(row.verdict, "not yet"),
        "verdict": row.said or mountings.judge(row).text,
        "pairs": [pair for pair in _reading.pairs(row, MountingForm) if pair["value"]],
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


@require_POST
def send_back(request: HttpRequest, code: str) -> HttpResponse:
    """Send the mounting back with a reason: mount again, or take a new record first."""
    case = case_for(request, code, PART.act)
    form = SendBackForm(request.POST)
    if not form.is_valid():
        return _refused(request, case, 422, back_form=form)
    told = form.cleaned_data
    try:
        remounting.send_back(
            case=case,
            to=ReturnTo(told["to"]),
            reason=told["reason"],
            version=told["version"],
            by=person(request),
        )
    except remounting.NotSentBack as refused:
        fresh = case_for(request, code, PART.act)
        return _refused(request, fresh, 409, refusal=str(refused))
    messages.success(request, "The mounting is sent back. It is kept below as it was.")
    return redirect("mounting", case.code)


def _refused(request: HttpRequest, case: Case, status: int, **more: Any) -> HttpResponse:
    """The page of the mounting once more, with what was refused on top."""
    user = person(request)
    head = head_context(case, user)
    context = {
        **head,
        "part": PART,
        "title": PART.title,
        "page_title": PART.title,
        "form": MountingForm(instance=_row(case)),
        "can_edit": PART.act in head["acts"],
        **_beside(case, user),
        **more,
    }
    return render(request, PART.template, context, status=status)
