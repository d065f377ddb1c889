"""What the addresses about boxes name: things that came, and what was done with them."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from labcases.domain import calendars
from labcases.management.walk import Hands
from labcases.models import Box, BoxItem, Case, Disinfection, Settlement


def of_boxes(on_its_way: Box, coming_back: Box, hands: Hands) -> dict[str, int]:
    """An item on either way, and a line of the log of one."""
    lost, counted = (_sent(on_its_way.case, hands, now=timezone.now()) for _ in "12")
    Box.objects.filter(pk=lost.pk).update(
        trouble="lost", trouble_note="no trace", trouble_at=lost.sent_at, trouble_by=hands.lab_desk
    )
    Box.objects.filter(pk=counted.pk).update(
        received_at=counted.sent_at, received_by=hands.lab_desk
    )
    open_one, settled = counted.items.all()
    to_laboratory, to_office = (_item(row) for row in (on_its_way, coming_back))
    return {
        "box_report": on_its_way.pk,
        "box_turned_up": lost.pk,
        "box_settle": open_one.pk,
        "settlement_strike": Settlement.objects.create(
            case=counted.case, item=settled, outcome="lost", note="no trace", by=hands.lab_desk
        ).pk,
        "box_disinfect:sent_by_office": to_laboratory.pk,
        "box_disinfect:sent_by_laboratory": to_office.pk,
        "disinfection_strike": Disinfection.objects.create(
            case=on_its_way.case,
            item=to_laboratory,
            by=hands.technician,
            **{"agent": "iodophor", "label_minutes": 10, "actual_minutes": 10},
            **{"done_by": hands.technician.full_name, "done_at": timezone.now()},
        ).pk,
    }


def _sent(case: Case, hands: Hands, now: datetime) -> Box:
    """A box with two kinds of things; of each, one is missing once it is counted."""
    row = Box.objects.create(
        case=case,
        direction="to the laboratory",
        packed_by=hands.office_desk,
        sent_at=now,
        sent_by=hands.office_desk,
    )
    for content in ("tray", "photographs"):
        declared = {"agent": "iodophor", "label_minutes": 10, "actual_minutes": 10}
        BoxItem.objects.create(box=row, content=content, count=2, received_count=1, **declared)
    return row


def _item(row: Box) -> BoxItem:
    return row.items.get()


def closed_days(here: Any) -> dict[str, list[int]]:
    """A closed day of either house."""
    found = {}
    for name, house, by in (
        ("office", here.office, here.dora),
        ("laboratory", here.laboratory, here.mona),
    ):
        day = timezone.localdate() + timedelta(days=50)
        calendars.close(organisation=house, first=day, last=None, reason="stock-taking", by=by)
        found[f"house_day_remove:{name}"] = [house.days.get().pk]
    return found
