"""Rows of moved dates: a move changes something, and is seen by somebody at a time."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from labcases.models import DateMove
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

DAY = date(2027, 3, 25)


def test_a_move_needs_a_day_and_is_seen_by_somebody():
    here = world()
    told = {"case": here.walk().case, "what": "surgery", "by": here.farah, "told": "laboratory"}

    for wrong in (
        {"before": None, "after": None},
        {"after": DAY, "seen_at": timezone.now()},
        {"after": DAY, "seen_by": here.lena},
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            DateMove.objects.create(**told, **wrong)
    row = DateMove.objects.create(**told, after=DAY, seen_by=here.lena, seen_at=timezone.now())
    assert row.words == "Surgery"
    assert DateMove(what="try-in").words == "Try-in"
