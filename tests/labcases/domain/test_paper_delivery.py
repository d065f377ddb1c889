"""What a sheet of release and delivery says is kept as text and comes back as it was."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from labcases.domain import paper_delivery
from labcases.enums import Stage
from labcases.models import Case, Delivery, Organisation, Surgery


def test_days_and_numbers_are_kept_as_text_and_read_again():
    told = {
        "delivered_on": date(2027, 3, 12),
        "vertical_mm": Decimal("68.5"),
        "liner_until": None,
        "adjusted": ["16"],
        "relieved": "at 13",
    }

    said = {"delivery": paper_delivery.as_said(told)}

    assert said["delivery"] == {
        "delivered_on": "2027-03-12",
        "vertical_mm": "68.5",
        "liner_until": None,
        "adjusted": ["16"],
        "relieved": "at 13",
    }
    assert paper_delivery.values("delivery", said) == told
    assert paper_delivery.values("surgery", said) == {}


@pytest.mark.parametrize(
    ("stage", "typed"),
    [
        (Stage.RELEASED, False),
        (Stage.DISPATCHED, True),
        (Stage.RECEIVED, True),
        (Stage.DELIVERED, False),
    ],
)
def test_it_is_typed_between_the_dispatch_and_the_delivery(stage, typed):
    said = paper_delivery.why_not(Case(stage=stage, laboratory=Organisation()))

    assert (said == "") == typed
    assert typed or said.startswith(f"The case stands at {stage.label.lower()}.")


@pytest.mark.django_db
def test_what_was_typed_fills_a_row_that_is_not_stored_yet():
    said = {"surgery": {"held_on": "2027-03-12", "teeth_out": ["13"], "bone_changed": False}}

    row = paper_delivery.row("surgery", Case(pk=999_999), said)

    assert isinstance(row, Surgery)
    assert (row.pk, row.held_on, row.teeth_out) == (None, date(2027, 3, 12), ["13"])
    assert row.bone_changed is False
    assert not Delivery.objects.exists()
