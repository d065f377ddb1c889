"""Where the posterior base is, told by the boxes that it travels in."""

import pytest
from django.utils import timezone

from labcases.domain import box, tryin_boxes
from labcases.enums import BoxContent, BoxDirection, Stage, TryInOutcome
from labcases.templatetags.units import long_date
from tests.factories import world

pytestmark = pytest.mark.django_db

OUT, BACK = BoxDirection.TO_OFFICE, BoxDirection.TO_LABORATORY
TODAY = long_date(timezone.now())


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.TRY_IN)
    return walk


def pack(walk, way):
    by = walk.hands.lab_desk if way == OUT else walk.hands.office_desk
    return walk.pack(way, BoxContent.WAX_SET_UP, by=by)


def send(walk, way):
    return box.send(box=pack(walk, way), by=walk.hands.lab_desk)


def take_in(walk, way):
    walk.take_in(way, by=walk.hands.office_desk)


def where(walk):
    return tryin_boxes.whereabouts(walk.reload())


def test_no_box_tells_nothing(walk):
    assert where(walk) == ""
    assert not tryin_boxes.is_away(walk.case)


def test_the_base_is_followed_out_and_back(walk):
    pack(walk, OUT)
    assert where(walk) == (
        "The posterior base is at the laboratory, packed for the office and not sent."
    )
    assert not tryin_boxes.is_away(walk.case)

    box.send(box=walk.case.boxes.last(), by=walk.hands.lab_desk)
    assert where(walk) == f"The posterior base is on its way to the office since {TODAY}."
    assert tryin_boxes.is_away(walk.case)

    take_in(walk, OUT)
    assert where(walk) == f"The posterior base is at the office, taken in on {TODAY}."

    send(walk, BACK)
    assert where(walk) == f"The posterior base is on its way to the laboratory since {TODAY}."
    assert tryin_boxes.is_away(walk.case)

    take_in(walk, BACK)
    assert where(walk) == f"The posterior base is at the laboratory, taken in on {TODAY}."
    assert not tryin_boxes.is_away(walk.case)


def test_a_lost_box_is_said(walk):
    lost = send(walk, OUT)
    box.report_lost(box=lost, note="not at the office", by=walk.hands.lab_desk)

    assert where(walk) == f"The posterior base is in a box reported as lost on {TODAY}."
    assert tryin_boxes.is_away(walk.case)


def test_each_try_in_knows_its_own_boxes(walk):
    first_out = send(walk, OUT)
    take_in(walk, OUT)
    walk.judge_try_in(TryInOutcome.REDO)
    first_back = send(walk, BACK)
    take_in(walk, BACK)
    walk.set_posterior()
    walk.check_bench()
    walk.move(Stage.TRY_IN, walk.hands.technician)
    second_out = send(walk, OUT)

    first, second = walk.reload().try_ins.all()
    assert tryin_boxes.trip_of(first) == tryin_boxes.Trip(first_out, first_back)
    assert tryin_boxes.trip_of(second) == tryin_boxes.Trip(second_out, None)


def test_a_try_in_that_no_box_took_out_has_no_trip(walk):
    assert tryin_boxes.trip_of(walk.case.try_ins.get()) == tryin_boxes.Trip()


def test_a_box_says_how_far_it_is(walk):
    packed = pack(walk, OUT)
    assert tryin_boxes.box_words(packed) == f"packed on {TODAY}, not sent"
    assert tryin_boxes.box_words(box.send(box=packed, by=walk.hands.lab_desk)) == (
        f"on its way since {TODAY}"
    )
    take_in(walk, OUT)
    packed.refresh_from_db()
    assert tryin_boxes.box_words(packed) == f"taken in on {TODAY}"
