"""The list of boxes of a case, which every page of boxes comes back to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from labcases.domain import arrivals, differences, disinfecting, gates, transit
from labcases.domain import box as box_verbs
from labcases.enums import BoxDirection, Stage
from labcases.forms.box_trouble import SettleForm, TroubleForm
from labcases.forms.disinfecting import DisinfectionForm
from labcases.models import Box, BoxItem, Case, Disinfection, Settlement, User
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
    different: list[BoxItem]
    to_settle: list[SettleForm]
    settlements: list[tuple[Settlement, str]]
    trouble_form: TroubleForm | None
    leaves_with: Stage | None
    may_send: bool
    may_take_in: bool
    may_report: bool
    may_strike: bool = False
    expected: date | None = None
    overdue: int = 0

    @property
    def unsafe_names(self) -> str:
        return disinfecting.names(self.unsafe)

    @property
    def different_text(self) -> str:
        return differences.said_of(self.different)

    @property
    def ask_url(self) -> str:
        """A question about this box, with what differs written into it already."""
        about = {"about": f"box {self.box.pk}", "text": f"{self.different_text} Which is right?"}
        return f"{reverse('questions', args=[self.box.case.code])}?{urlencode(about)}"


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
        case.boxes.select_related(
            "case", "packed_by", "sent_by", "received_by", "trouble_by"
        ).prefetch_related(
            "items__disinfections__by",
            "items__disinfections__struck_by",
            "items__settlements__by",
            "items__settlements__struck_by",
            "case__office__days",
            "case__office__laboratory_links",
            "case__laboratory__days",
        )
    )
    reader = Reader(user, ways, disinfecting.contaminated(rows), head["acts"], more.get("form"))
    context = {
        **head,
        "page_title": "Boxes",
        "shown": [_shown(row, reader) for row in rows][::-1],
        "can_pack": bool(ways) and case.is_open,
        "can_record": bool(arrivals.ways_of(user, case)),
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
    acts: frozenset[str]
    form: Any = None

    def form_for(self, item: BoxItem) -> DisinfectionForm:
        """The form that was refused keeps what was typed."""
        if isinstance(self.form, DisinfectionForm) and self.form.item.pk == item.pk:
            return self.form
        return DisinfectionForm(item=item, name=self.user.full_name)

    def settle(self, item: BoxItem) -> SettleForm:
        if isinstance(self.form, SettleForm) and self.form.item.pk == item.pk:
            return self.form
        return SettleForm(item=item)

    def trouble(self, row: Box) -> TroubleForm:
        if isinstance(self.form, TroubleForm) and self.form.box.pk == row.pk:
            return self.form
        return TroubleForm(box=row)


def _shown(row: Box, reader: Reader) -> Shown:
    items = list(row.items.all())
    unsafe = [item for item in reader.unsafe if item.box_id == row.pk]
    sees = "take in a box" in reader.acts
    different = differences.of_box(row)
    takes_in = bool(row.sent_at) and box_verbs.may_take_in(reader.user, row)
    return Shown(
        box=row,
        items=items,
        missing=[] if row.sent_at else listed(row.case, list(gates.box_may_leave(row))),
        unsafe=unsafe,
        to_log=[reader.form_for(item) for item in unsafe] if takes_in else [],
        disinfections=[line for item in items for line in item.disinfections.all()],
        different=different,
        to_settle=[reader.settle(item) for item in different] if sees else [],
        settlements=[
            (line, differences.in_words(line)) for item in items for line in item.settlements.all()
        ],
        trouble_form=reader.trouble(row) if sees and row.sent_at and not row.trouble else None,
        leaves_with=None if row.sent_at else box_verbs.leaves_with(row),
        may_send=not row.sent_at and row.direction in reader.ways,
        may_take_in=takes_in and not row.received_at and not row.trouble,
        may_report=sees,
        may_strike=takes_in,
        expected=transit.expected_on(row),
        overdue=transit.overdue_days(row),
    )


def box_for(case: Case, pk: int) -> Box:
    return get_object_or_404(Box.objects.select_related("case"), pk=pk, case=case)
