"""The list of boxes of a case, which every page of boxes comes back to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from labcases.domain import arrivals, disinfecting, gates, transit
from labcases.domain import box as box_verbs
from labcases.enums import BoxDirection, Stage
from labcases.forms.disinfecting import DisinfectionForm
from labcases.models import Box, BoxItem, Case, Disinfection, User
from labcases.reference.disinfection import listed_agents
from labcases.views._head import head_context
from labcases.views._lookup import person
from labcases.views._refusal import listed


@dataclass(frozen=True)
class Shown:
    """One box of the list with what this person may do to it."""

    box: Box
    items: list[BoxItem]
    missing: list[dict[str, str]]
    unsafe: list[BoxItem]
    to_log: list[DisinfectionForm]
    disinfections: list[Disinfection]
    leaves_with: Stage | None
    may_send: bool
    may_take_in: bool
    may_strike: bool = False
    expected: date | None = None
    overdue: int = 0

    @property
    def unsafe_names(self) -> str:
        return disinfecting.names(self.unsafe)

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


def list_page(
    request: HttpRequest,
    case: Case,
    *,
    status: int = 200,
    refusal: str = "",
    items: list[dict[str, str]] | None = None,
    **more: Any,
) -> HttpResponse:
    """Every box, the newest first, with what this person may do to it.

    ``form`` is a refused form of one item, ``strike_form`` and ``striking`` a refused reason.
    """
    user = person(request)
    head = head_context(case, user)
    ways = box_verbs.ways_of(user, case)
    rows = list(
        disinfecting.with_items(case.boxes.all())
        .select_related("packed_by", "sent_by", "received_by")
        .prefetch_related(
            "items__disinfections__by",
            "items__disinfections__struck_by",
            "case__office__closed_days",
            "case__office__laboratory_links",
            "case__laboratory__closed_days",
        )
    )
    reader = Reader(user, ways, disinfecting.contaminated(rows), more.get("form"))
    context = {
        **head,
        "page_title": "Boxes",
        "shown": [_shown(row, reader) for row in rows][::-1],
        "can_pack": bool(ways) and case.is_open,
        "can_record": arrivals.may_record(user, case),
        "refusal": refusal,
        "refusal_items": items or [],
        "contaminated": disinfecting.CONTAMINATED,
        "agents": listed_agents(),
        "any_unsafe": bool(reader.unsafe),
        "refused": bool(refusal or more),
        **more,
    }
    return render(request, "boxes/boxes.html", context, status=status)


@dataclass(frozen=True)
class Reader:
    """Who looks at the list, and what holds for every box of it."""

    user: User
    ways: list[BoxDirection]
    unsafe: list[BoxItem]
    form: DisinfectionForm | None = None

    def form_for(self, item: BoxItem) -> DisinfectionForm:
        """The form that was refused keeps what was typed."""
        if self.form and self.form.item.pk == item.pk:
            return self.form
        return DisinfectionForm(item=item, name=self.user.full_name)


def _shown(row: Box, reader: Reader) -> Shown:
    items = list(row.items.all())
    unsafe = [item for item in reader.unsafe if item.box_id == row.pk]
    takes_in = bool(row.sent_at) and box_verbs.may_take_in(reader.user, row)
    return Shown(
        box=row,
        items=items,
        missing=[] if row.sent_at else listed(row.case, list(gates.box_may_leave(row))),
        unsafe=unsafe,
        to_log=[reader.form_for(item) for item in unsafe] if takes_in else [],
        disinfections=[line for item in items for line in item.disinfections.all()],
        leaves_with=None if row.sent_at else box_verbs.leaves_with(row),
        may_send=not row.sent_at and row.direction in reader.ways,
        may_take_in=takes_in and not row.received_at,
        may_strike=takes_in,
        expected=transit.expected_on(row),
        overdue=transit.overdue_days(row),
    )


def box_for(case: Case, pk: int) -> Box:
    return get_object_or_404(Box.objects.select_related("case"), pk=pk, case=case)
