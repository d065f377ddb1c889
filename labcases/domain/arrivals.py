"""Boxes that nobody announced: the house that they came to records them as they came."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django.utils import timezone

from labcases.domain import access, history
from labcases.domain.box import put_in
from labcases.enums import BoxDirection
from labcases.models import Box, BoxItem, Case, User


def ways_of(user: User, case: Case) -> list[BoxDirection]:
    """The directions in which such a box can have come to this person's house."""
    held = access.positions(user, case) & access.MAY["take in a box"]
    houses = {
        BoxDirection.TO_LABORATORY: access.LABORATORY,
        BoxDirection.TO_OFFICE: access.OFFICE,
    }
    return [way for way, house in houses.items() if case.is_open and held & house]


def record(
    *,
    case: Case,
    courier: str,
    items: Iterable[Mapping[str, Any]],
    by: User,
    direction: BoxDirection = BoxDirection.TO_LABORATORY,
) -> Box:
    """Enter a box that came with a paper, or with nothing, counted as it was opened.

    How its contents were disinfected may be unknown: then it stands as not declared, and is
    treated as contaminated. When it left the other house nobody here knows, so its way
    counts from now.
    """
    rows = [BoxItem(**item, received_count=item["count"]) for item in items]
    now = timezone.now()
    with history.turn(case):
        box = Box.objects.create(
            case=case,
            direction=direction,
            courier=courier,
            announced=False,
            packed_by=by,
            changed_by=by,
            sent_at=now,
            sent_by=by,
            received_at=now,
            received_by=by,
        )
        changes = put_in(box, rows)
        history.write(case=case, by=by, act="arrived", part="box", changes=changes)
    return box
