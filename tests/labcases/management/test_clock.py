"""The clock of a story: days that were, at the time of day of now, and back again afterwards."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from django.utils import timezone

from labcases.management import clock
from labcases.models import HistoryEntry


def test_a_story_is_told_on_its_day_and_the_clock_goes_on_afterwards():
    today = timezone.localdate()
    field = HistoryEntry._meta.get_field("at")
    with clock.on(today - timedelta(days=40)):
        assert timezone.localdate() == today - timedelta(days=40)
        assert timezone.localtime().hour == datetime.now(timezone.get_current_timezone()).hour
        assert timezone.localdate(field.get_default()) == today - timedelta(days=40)
        with clock.on(today - timedelta(days=2)):
            assert timezone.localdate() == today - timedelta(days=2)
        assert timezone.is_aware(timezone.now())
    assert timezone.localdate() == today


def test_the_clock_goes_on_when_a_story_breaks_off():
    today = timezone.localdate()
    with pytest.raises(LookupError), clock.on(today - timedelta(days=3)):
        raise LookupError
    assert timezone.localdate() == today


def test_nothing_is_told_of_a_day_ahead():
    ahead = timezone.localdate() + timedelta(days=1)
    with pytest.raises(ValueError, match="Tell a day that was"), clock.on(ahead):
        pass
