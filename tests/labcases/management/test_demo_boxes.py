"""The demonstration shows a contaminated arrival and an overdue box."""

import pytest

from labcases.domain import disinfecting, transit
from labcases.management import demo_stories
from labcases.management.demo_stories import Stories
from labcases.models import Box, Case
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def stories():
    here = world()
    return Stories(
        laboratory=here.laboratory,
        offices=(here.office, here.office),
        hands=(here.hands, here.hands),
    )


def test_a_tray_came_with_no_word_about_its_disinfection(stories):
    demo_stories.late(stories)
    case = Case.objects.get()
    assert [item.content for item in disinfecting.of_case(case)] == ["tray"]
    assert case.boxes.last().announced is False


def test_a_box_is_overdue(stories):
    demo_stories.on_the_way(stories)
    row = Case.objects.get().boxes.get()
    assert transit.overdue_days(row) >= 3
    assert row.sent_by.full_name == "Farah Kline"


def test_boxes_are_packed_before_they_leave_and_leave_before_they_come(stories):
    for story in (demo_stories.late, demo_stories.on_the_way):
        story(stories)
    for row in Box.objects.filter(announced=True):
        moments = [row.packed_at, row.sent_at, row.received_at]
        told = [one for one in moments if one]
        assert told == sorted(told), row
        assert row.case.created_at <= row.packed_at
