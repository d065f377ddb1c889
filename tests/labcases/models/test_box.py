"""A box and what is in it."""

from __future__ import annotations

import pytest
from django.utils import timezone

from labcases.enums import BoxContent
from labcases.models import Box, BoxItem, Disinfection
from tests.labcases.models.limits import stored

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def item(cast, case) -> BoxItem:
    box = Box.objects.create(case=case, direction="to the laboratory", packed_by=cast.farah)
    return BoxItem.objects.create(box=box, content="impression", count=2)


@pytest.mark.parametrize(
    ("field", "value", "taken"),
    [
        ("count", 1, True),
        ("count", 0, False),
        ("count", -1, False),
        ("received_count", 0, True),
        ("received_count", -1, False),
        ("label_minutes", -1, False),
        ("actual_minutes", -1, False),
    ],
)
def test_counts_and_minutes_that_cannot_be_are_not_stored(item, field, value, taken):
    assert stored(item, field, value) is taken


@pytest.mark.parametrize("content", BoxContent)
def test_everything_but_photographs_needs_disinfection(content):
    assert BoxItem(content=content).needs_disinfection == (content != "photographs")


@pytest.mark.parametrize(
    ("agent", "label", "given", "declared", "too_short"),
    [
        ("spray", 10, 10, True, False),
        ("spray", 10, 12, True, False),
        ("spray", 10, 9, True, True),
        ("", 10, 10, False, False),
        ("spray", None, 10, False, False),
        ("spray", 10, None, False, False),
        ("spray", 0, 10, False, False),
    ],
)
def test_disinfection_is_declared_with_agent_and_both_times(
    agent, label, given, declared, too_short
):
    item = BoxItem(content="impression", agent=agent, label_minutes=label, actual_minutes=given)

    assert item.disinfection_declared is declared
    assert item.disinfection_too_short is too_short


def test_a_box_and_an_item_say_what_they_are(item):
    assert str(item) == "2 x impression"
    assert str(item.box) == "box to the laboratory"


@pytest.mark.parametrize(
    ("field", "value", "taken"),
    [
        ("label_minutes", 1, True),
        ("label_minutes", 0, False),
        ("actual_minutes", 1, True),
        ("actual_minutes", 0, False),
    ],
)
def test_minutes_of_a_disinfection_that_cannot_be_are_not_stored(cast, item, field, value, taken):
    row = Disinfection.objects.create(
        case=item.box.case,
        item=item,
        by=cast.tomas,
        **{"agent": "iodophor", "label_minutes": 10, "actual_minutes": 10},
        **{"done_by": "Tomas Abelard", "done_at": timezone.now()},
    )
    assert stored(row, field, value) is taken
    assert str(row) == "impression: iodophor"
