"""Boxes that nobody announced: the laboratory records them as they came."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django.utils import timezone

from labcases.domain import access, history
from labcases.domain.box import put_in
from labcases.enums import BoxDirection
from labcases.models import Box, BoxItem, Case, User


def may_record(user: User, case: Case) -> bool:
    """People of the laboratory take such a box in, as any other."""
    held = access.positions(user, case) & access.LABORATORY
    return case.is_open and bool(held & access.MAY["take in a box"])


def record(*, case: Case, courier: str, items: Iterable[Mapping[str, Any]], by: User) -> Box:
    """Enter a box that came with a paper, or with nothing, counted as it was opened.

    How its contents were disinfected may be unknown: then it stands as not declared, and is
    treated as contaminated. When it left the office nobody here knows, so its way counts
    from now.
    """
    rows = [BoxItem(**item, received_count=item["count"]) for item in items]
    now = timezone.now()
    with history.turn(case):
        box = Box.objects.create(
            case=case,
            direction=BoxDirection.TO_LABORATORY,
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
