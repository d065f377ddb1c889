"""The sheet of release and delivery as an office sent it back: box, surgery and delivery on paper.

What stands on it is typed by the laboratory and kept as plain values under ``arrival``,
``surgery`` and ``delivery``; it is entered as the office would have entered it, once a second
member has confirmed it.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django.db import models

from labcases.domain import box as boxes
from labcases.domain import delivery, stages
from labcases.domain.signed_papers import NotNow
from labcases.enums import BoxDirection, Stage
from labcases.models import ArrivalCheck, Box, Case, Delivery, SignedPaper, Surgery, User

Said = Mapping[str, Any]
Row = ArrivalCheck | Surgery | Delivery

PARTS: dict[str, type[Row]] = {"arrival": ArrivalCheck, "surgery": Surgery, "delivery": Delivery}
COUNTED = "ar_counted"
"""The line of the check on arrival that says the box was counted and agrees with its list."""


def why_not(case: Case) -> str:
    """Why no such sheet is typed now; empty when it is."""
    if case.stage not in (Stage.DISPATCHED, Stage.RECEIVED):
        return (
            f"The case stands at {case.get_stage_display().lower()}. The sheet is typed once the "
            "denture has left, and before it counts as delivered."
        )
    return ""


def on_its_way(case: Case) -> list[Box]:
    """Boxes to the office that left and that nobody has taken in."""
    return list(
        case.boxes.filter(
            direction=BoxDirection.TO_OFFICE,
            sent_at__isnull=False,
            received_at__isnull=True,
            trouble="",
        )
    )


def bound(case: Case) -> dict[str, Any]:
    """How boxes and rows stand, so that nothing else is overwritten."""
    stored = {name: model.objects.filter(case=case).first() for name, model in PARTS.items()}
    versions = {name: row.version if row else 0 for name, row in stored.items()}
    return {**versions, "boxes": [row.pk for row in on_its_way(case)], "from": case.stage}


def as_said(values: Mapping[str, Any]) -> dict[str, Any]:
    """Values of a row as they are kept with a paper: days and numbers as text."""
    return {name: _plain(value) for name, value in values.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    return str(value) if isinstance(value, (Decimal, str)) else value


def values(part: str, said: Said) -> dict[str, Any]:
    """What was typed of a part, as its row holds it."""
    return {
        name: _typed(PARTS[part]._meta.get_field(name), value)
        for name, value in said.get(part, {}).items()
    }


def _typed(column: Any, value: Any) -> Any:
    if value in (None, "") and column.null:
        return None
    if isinstance(column, models.DateField) and value:
        return date.fromisoformat(value)
    return Decimal(value) if isinstance(column, models.DecimalField) else value


def row(part: str, case: Case, said: Said) -> Any:
    """The stored row of a part, or a new one, with what was typed before."""
    model = PARTS[part]
    found = model.objects.filter(case=case).first() or model(case=case)
    for name, value in values(part, said).items():
        setattr(found, name, value)
    return found


def enter(case: Case, paper: SignedPaper, by: User) -> None:
    """Take in the boxes, keep the three parts, and bring the case to delivered.

    Raises
    ------
    NotNow
        Something is missing before the case counts as delivered; nothing is entered.
    """
    said = paper.said
    for one in on_its_way(case):
        boxes.receive(box=one, counts={item.pk: item.count for item in one.items.all()}, by=by)
    save = {
        "arrival": delivery.save_arrival,
        "surgery": delivery.save_surgery,
        "delivery": delivery.save,
    }
    for part, keep in save.items():
        told = {**values(part, said), "paper": paper}
        keep(case=case, version=said["bound"][part], by=by, values=told)
    case = Case.objects.get(pk=case.pk)
    try:
        for to in (Stage.RECEIVED, Stage.DELIVERED):
            if to in stages.next_stages(case):
                case = stages.move(case=case, to=to, by=by, lent=delivery.LENT)
    except stages.Refused as refused:
        lacks = " ".join(item.text for item in refused.items)
        raise NotNow(f"{refused} {lacks}".strip()) from refused
