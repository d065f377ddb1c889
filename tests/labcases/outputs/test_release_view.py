"""What a pin rise calls for."""

from decimal import Decimal

import pytest

from labcases.models import Release
from labcases.outputs import release_view

D = Decimal


@pytest.mark.parametrize(
    ("rise", "begins"),
    [
        ("0", "Up to 0.5 mm is usual"),
        ("0.5", "Up to 0.5 mm is usual"),
        ("0.51", "Above 0.5 mm: correct the denture teeth with foil"),
        ("1", "Above 0.5 mm: correct the denture teeth with foil"),
        ("1.01", "Above 1 mm: look for the reason and mount again before any tooth is cut."),
    ],
)
def test_advice_follows_the_rise(rise, begins):
    view = release_view.pin(Release(pin_rise_mm=D(rise)), D("0"))
    assert view.advice.startswith(begins)


@pytest.mark.parametrize(
    ("after", "agreed", "back"),
    [("0.5", "0", True), ("0.51", "0", False), ("1", "1", True), (None, "0", None)],
)
def test_the_pin_is_back_when_it_reads_as_agreed_within_the_limit(after, agreed, back):
    row = Release(pin_after_mm=None if after is None else D(after))
    assert release_view.pin(row, D(agreed)).back is back


def test_before_the_remount_there_is_a_limit_and_no_advice():
    view = release_view.pin(None, D("0"))
    assert (view.rise_mm, view.advice, view.limit_mm) == (None, "", D("0.5"))
