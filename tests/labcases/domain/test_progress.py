"""How far each tooth is, read off the log: what was set, marked, ground and judged, in order."""

from decimal import Decimal

import pytest

from labcases.domain import bench, progress
from labcases.domain.progress import State, Step
from labcases.enums import Movement, SetUpAct, Stage
from tests.factories import world

pytestmark = pytest.mark.django_db

CENTRIC, RIGHT, LEFT, PROTRUSIVE = Movement
NOT_YET, OPEN, MARKS, GROUND, DONE = State


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def states(walk, tooth):
    """Set, centric, working, balancing, protrusive."""
    (row,) = (one for one in progress.of(walk.reload()) if one.tooth == tooth)
    assert list(row.states) == list(Step)
    return tuple(row.states.values())


def set_teeth(walk, *teeth):
    walk.log(SetUpAct.TOOTH_SET, teeth=list(teeth))


def test_every_denture_tooth_has_a_row_and_nothing_is_done_at_first(walk):
    found = progress.of(walk.reload())
    assert [row.tooth for row in found] == (
        ["17", "16", "15", "14", "13", "12", "11", "21", "22", "23", "24", "25", "26", "27"]
    )
    assert not any(row.begun or row.done for row in found)


def test_working_and_balancing_are_seen_from_the_side_of_the_tooth(walk):
    set_teeth(walk, "16", "26")
    walk.foil(RIGHT, "16", "26")
    assert states(walk, "16") == (DONE, NOT_YET, DONE, NOT_YET, NOT_YET)
    assert states(walk, "26") == (DONE, NOT_YET, NOT_YET, DONE, NOT_YET)


def test_a_pass_that_was_not_as_wanted_tells_where_it_marks(walk):
    set_teeth(walk, "16", "26", "15")
    walk.foil(CENTRIC, "46", "15", as_wanted=False)
    assert states(walk, "16")[1] == MARKS  # through what it meets
    assert states(walk, "26")[1] == OPEN
    walk.foil(CENTRIC, "16", as_wanted=None)
    assert (states(walk, "16")[1], states(walk, "26")[1]) == (MARKS, OPEN)
    walk.foil(CENTRIC, "16")
    assert (states(walk, "16")[1], states(walk, "26")[1]) == (DONE, DONE)


def test_a_tooth_that_was_ground_wants_a_mark_again_in_every_movement(walk):
    set_teeth(walk, "16", "26")
    for movement in Movement:
        walk.foil(movement, "16", "26")
    assert all(state == DONE for state in states(walk, "16"))
    walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm=Decimal("0.2"))
    assert states(walk, "16") == (DONE, GROUND, GROUND, GROUND, GROUND)
    assert set(states(walk, "26")) == {DONE}
    walk.foil(CENTRIC, "16")
    assert states(walk, "16") == (DONE, DONE, GROUND, GROUND, GROUND)


def test_a_pass_counts_for_teeth_that_stood_when_it_was_made(walk):
    set_teeth(walk, "16")
    walk.foil(CENTRIC, "16")
    set_teeth(walk, "26")
    assert states(walk, "16")[:2] == (DONE, DONE)
    assert states(walk, "26")[:2] == (DONE, NOT_YET)
    assert states(walk, "25")[:2] == (NOT_YET, NOT_YET)
    set_teeth(walk, "16")  # set anew
    assert states(walk, "16")[:2] == (DONE, NOT_YET)


def test_a_tooth_that_nobody_logged_as_set_stands_when_it_marks(walk):
    walk.foil(CENTRIC, "16")
    assert states(walk, "16")[:2] == (NOT_YET, DONE)


def test_struck_lines_count_no_more(walk):
    set_teeth(walk, "16")
    entry = walk.foil(CENTRIC, "16")
    bench.strike(entry=entry, reason="wrong foil", by=walk.hands.technician)
    assert states(walk, "16")[:2] == (DONE, NOT_YET)
