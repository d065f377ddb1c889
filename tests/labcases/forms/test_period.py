"""A period in the address: what is left out is the last year, what cannot be is refused."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases.forms.period import PeriodForm


def form(**told: str) -> PeriodForm:
    return PeriodForm(told, offices=[])


def test_what_is_left_out_is_the_last_year():
    found = form()
    assert found.is_valid()
    today = timezone.localdate()
    assert found.span == (today - timedelta(days=365), today)
    assert found.office is None


def test_a_period_is_read_as_it_is_typed():
    found = form(since="1-Mar-2026", until="2026-03-31")
    assert found.is_valid()
    assert found.span == (date(2026, 3, 1), date(2026, 3, 31))


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"since": "2-Mar-2026", "until": "1-Mar-2026"}, "The last day lies before the first."),
        ({"since": "soon"}, "Write the day like 12-Mar-2027."),
        ({"house": "7"}, "Select a valid choice."),
    ],
)
def test_what_cannot_be_is_refused(told, said):
    found = form(**told)
    assert not found.is_valid()
    assert said in str(found.errors)
