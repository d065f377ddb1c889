"""What the addresses about boxes name: things that came, and what was done with them."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.utils import timezone

from labcases.domain import calendars
from labcases.management.walk import Hands
from labcases.models import Box, BoxItem, Disinfection


def of_boxes(on_its_way: Box, coming_back: Box, hands: Hands) -> dict[str, int]:
    """An item on either way, and a line of the log of one."""
    to_laboratory, to_office = (_item(row) for row in (on_its_way, coming_back))
    return {
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
        found[f"closed_day_remove:{name}"] = [house.closed_days.get().pk]
    return found
