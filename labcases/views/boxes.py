"""Boxes of a case: packed, sent, taken in and counted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from labcases.domain import box as box_verbs
from labcases.domain import gates, stages
from labcases.domain.versions import EditConflict
from labcases.enums import BoxDirection, Stage
from labcases.forms.boxes import BoxForm, CountForm, ItemFormSet, stored_items
from labcases.models import Box, BoxItem, Case, User
from labcases.views import _conflict
from labcases.views._head import CONTAMINATED, head_context
from labcases.views._lookup import case_for, person
from labcases.views._refusal import listed


@dataclass(frozen=True)
class Shown:
    """One box of the list with what this person may do to it."""

    box: Box
    items: list[BoxItem]
    missing: list[dict[str, str]]
    unsafe: list[BoxItem]
    leaves_with: Stage | None
    may_send: bool
    may_take_in: bool
    expected: date | None = None
    overdue: int = 0

    @property
    def different_text(self) -> str:
        return said_of(self.different)

    @property
    def ask_url(self) -> str:
        """A question about this box, with what differs written into it already."""
        about = {"about": f"box {self.box.pk}", "text": f"{self.different_text} Which is right?"}
        return f"{reverse('questions', args=[self.box.case.code])}?{urlencode(about)}"

    @property
    def different(self) -> list[BoxItem]:
        """Items of which another number was counted than was packed."""
        return [
            item
            for item in self.items
            if item.received_count is not None and item.received_count != item.count
        ]


def said_of(items: Iterable[BoxItem]) -> str:
    """Differences in words: "Impression: 2 on the list, 1 counted, so 1 is missing."."""
    return " ".join(_said(item) for item in items)


def _said(item: BoxItem) -> str:
    counted = item.received_count or 0
    off = item.count - counted
    verb = "is" if abs(off) == 1 else "are"
    end = f"{off} {verb} missing" if off > 0 else f"{-off} {verb} not on it"
    return f"{item.get_content_display()}: {item.count} on the list, {counted} counted, so {end}."


@require_http_methods(["GET"])
def boxes(request: HttpRequest, code: str) -> HttpResponse:
    return _list(request, case_for(request, code))


@require_http_methods(["GET", "POST"])
def box_new(request: HttpRequest, code: str) -> HttpResponse:
    """Pack a box to the other house."""
    case = case_for(request, code, "pack a box")
    return _pack(request, case, None)


@require_http_methods(["GET", "POST"])
def box(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Pack a box again while it is here; look at it afterwards."""
    case = case_for(request, code)
    row = _box(case, pk)
    may_send = row.direction in box_verbs.ways_of(person(request), case)
    if request.method == "POST" and not may_send:
        raise PermissionDenied
    if not may_send or (row.sent_at and request.method == "GET"):
        return redirect("boxes", case.code)
    return _pack(request, case, row)


@require_POST
def box_send(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Send a box, or the case with it when the box leaves with a move of the case."""
    case = case_for(request, code, "pack a box")
    row = _box(case, pk)
    user = person(request)
    if row.direction not in box_verbs.ways_of(user, case):
        raise PermissionDenied
    stage = box_verbs.leaves_with(row)
    try:
        if stage:
            stages.move(case=case, to=stage, by=user)
        else:
            box_verbs.send(box=row, by=user)
    except stages.NotAllowed as refused:
        raise PermissionDenied(str(refused)) from refused
    except (stages.SomebodyWasFaster, box_verbs.AlreadyMoved) as refused:
        return _list(request, case, status=409, refusal=str(refused))
    except (stages.Refused, box_verbs.MayNotLeave) as refused:
        return _list(
            request, case, status=422, refusal=str(refused), items=listed(case, refused.items)
        )
    sent = f"The case is {stage.value} and the box is on its way." if stage else "The box is sent."
    messages.success(request, sent)
    return redirect("boxes", case.code)


@require_http_methods(["GET", "POST"])
def box_receive(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """Count what came out of a box."""
    case = case_for(request, code)
    row = _box(case, pk)
    user = person(request)
    if not box_verbs.may_take_in(user, row):
        raise PermissionDenied
    items = list(row.items.all())
    form = CountForm(request.POST if request.method == "POST" else None, items=items)
    status = 200
    refusal = ""
    if request.method == "POST" and form.is_valid():
        try:
            box_verbs.receive(box=row, counts=form.counts(), by=user)
        except box_verbs.AlreadyMoved as refused:
            refusal, status = str(refused), 409
        else:
            _say_taken_in(request, row)
            return redirect("boxes", case.code)
    elif request.method == "POST":
        status = 422
    context = {
        **head_context(case, user),
        "page_title": "Take in a box",
        "box": row,
        "form": form,
        "refusal": refusal,
        "unsafe": box_verbs.to_be_disinfected(row),
        "contaminated": CONTAMINATED,
    }
    return render(request, "boxes/receive.html", context, status=status)


def _box(case: Case, pk: int) -> Box:
    return get_object_or_404(Box.objects.select_related("case"), pk=pk, case=case)


def _say_taken_in(request: HttpRequest, row: Box) -> None:
    different = [item for item in row.items.all() if item.received_count != item.count]
    if different:
        messages.warning(
            request,
            f"The box is taken in, and the count differs. {said_of(different)} Ask about it.",
        )
    else:
        messages.success(request, "The box is taken in. Everything on the list is there.")


def _list(
    request: HttpRequest,
    case: Case,
    *,
    status: int = 200,
    refusal: str = "",
    items: list[dict[str, str]] | None = None,
) -> HttpResponse:
    user = person(request)
    head = head_context(case, user)
    ways = box_verbs.ways_of(user, case)
    shown = [
        _shown(row, user, ways)
        for row in case.boxes.select_related(
            "case", "packed_by", "sent_by", "received_by"
        ).prefetch_related("items")
    ]
    context = {
        **head,
        "page_title": "Boxes",
        "shown": shown[::-1],
        "can_pack": bool(ways) and case.is_open,
        "refusal": refusal,
        "refusal_items": items or [],
        "contaminated": CONTAMINATED,
    }
    return render(request, "boxes/boxes.html", context, status=status)


def _shown(row: Box, user: User, ways: list[BoxDirection]) -> Shown:
    return Shown(
        box=row,
        items=list(row.items.all()),
        missing=[] if row.sent_at else listed(row.case, list(gates.box_may_leave(row))),
        unsafe=box_verbs.to_be_disinfected(row),
        leaves_with=None if row.sent_at else box_verbs.leaves_with(row),
        may_send=not row.sent_at and row.direction in ways,
        may_take_in=bool(row.sent_at) and not row.received_at and box_verbs.may_take_in(user, row),
        expected=box_verbs.expected_on(row),
        overdue=box_verbs.overdue_days(row),
    )


def _pack(request: HttpRequest, case: Case, row: Box | None) -> HttpResponse:
    user = person(request)
    ways = box_verbs.ways_of(user, case)
    if request.method == "GET":
        form = BoxForm(ways=ways, box=row)
        return _pack_page(request, case, row, form, _stored_formset(row))
    form = BoxForm(request.POST, ways=ways, box=row)
    contents = ItemFormSet(request.POST)
    keep_stored = row is not None and request.POST.get("keep-contents") == "stored"
    if not form.is_valid() or not (keep_stored or contents.is_valid()):
        contents.is_valid()
        return _pack_page(request, case, row, form, contents, status=422)
    if row is None and form.way not in ways:
        raise PermissionDenied
    rows = stored_items(row) if row is not None and keep_stored else contents.rows()
    try:
        saved = box_verbs.save(
            case=case,
            box=row,
            version=form.cleaned_data["version"],
            direction=form.way,
            courier=form.cleaned_data["courier"],
            items=rows,
            by=user,
        )
    except box_verbs.AlreadyMoved as refused:
        return _list(request, case, status=409, refusal=str(refused))
    except EditConflict as found:
        form.show_stored(found.stored.version)
        conflict = _both_contents(found, form, rows)
        return _pack_page(request, case, row, form, contents, status=409, conflict=conflict)
    _say_packed(request, saved)
    return redirect("boxes", case.code)


def _stored_formset(row: Box | None) -> Any:
    return ItemFormSet(initial=stored_items(row) if row else [])


def _both_contents(
    found: EditConflict, form: BoxForm, rows: list[dict[str, Any]]
) -> _conflict.Conflict:
    """The courier and the contents as typed and as stored."""
    stored = Box.objects.get(pk=found.stored.pk)
    conflict = _conflict.shown(found, form.fields)
    yours = ", ".join(str(BoxItem(**item)) for item in rows)
    theirs = ", ".join(str(item) for item in stored.items.all())
    conflict.rows.append(_conflict.Row("contents", "Contents", yours, theirs))
    return conflict


def _say_packed(request: HttpRequest, row: Box) -> None:
    open_points = list(gates.box_may_leave(row))
    if open_points:
        messages.warning(request, f"The box is packed but may not leave yet. {open_points[0].text}")
    else:
        messages.success(request, "The box is packed and ready to leave.")


def _pack_page(
    request: HttpRequest,
    case: Case,
    row: Box | None,
    form: BoxForm,
    contents: Any,
    *,
    status: int = 200,
    conflict: _conflict.Conflict | None = None,
) -> HttpResponse:
    context = {
        **head_context(case, person(request)),
        "page_title": "Pack the box again" if row else "Pack a box",
        "box": row,
        "way": BoxDirection(form.only_way).label.lower() if form.only_way else "",
        "form": form,
        "contents": contents,
        "conflict": conflict,
    }
    return render(request, "boxes/pack.html", context, status=status)
