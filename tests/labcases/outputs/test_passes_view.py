"""A pass in words: its marks, the proposal of the scheme, and what changed."""

import pytest

from labcases.domain import bench
from labcases.domain.passes import Marked
from labcases.enums import Movement, SetUpAct, Stage
from labcases.models import Mark
from labcases.outputs import passes_view
from tests.factories import world

pytestmark = pytest.mark.django_db

CENTRIC, RIGHT, LEFT, PROTRUSIVE = Movement


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def weighed(walk, entry, notation="ISO 3950"):
    return passes_view.weighed(walk.reload(), entry, list(entry.marks.all()), notation)


def test_passes_are_counted_by_movement_and_struck_ones_not(walk):
    first = walk.foil(RIGHT, "16")
    walk.foil(LEFT, "16")
    bench.strike(entry=first, reason="wrong foil", by=walk.hands.technician)
    second = walk.foil(RIGHT, "16")
    third = walk.foil(RIGHT, "16")
    case = walk.reload()
    assert [passes_view.title(case, one).text for one in (second, third)] == [
        "Right lateral, pass 1",
        "Right lateral, pass 2",
    ]


def test_marks_are_told_with_what_was_said_of_them():
    marks = [Mark(tooth="16", strength="heavy", cusps="lingual"), Mark(tooth="46")]
    assert passes_view.marks_in_words(marks, "ISO 3950") == "16 heavy (lingual), 46"
    assert passes_view.marks_in_words(marks, "Universal") == "3 heavy (lingual), 30"
    assert passes_view.marks_in_words([], "ISO 3950") == "no tooth marked"


def test_only_teeth_that_are_set_are_asked_for(walk):
    walk.log(SetUpAct.TOOTH_SET, teeth=["16", "26"])
    entry = walk.foil(CENTRIC, "16", Marked("15", "heavy"))
    told = weighed(walk, entry)
    assert told.scheme == "Balanced"
    assert told.wishes == [
        "Centric: contact of posterior teeth. Posterior teeth meet evenly on both sides."
    ]
    assert told.found == [
        "Wanted and not marked: 26.",
        "Heavier than the others: 15 (common practice, no source).",
    ]
    assert (told.proposal, told.as_wanted) == ("Not as wanted", False)


def test_a_pass_that_stands_as_the_scheme_wants_says_so(walk):
    walk.log(SetUpAct.TOOTH_SET, teeth=["16", "26"])
    told = weighed(walk, walk.foil(RIGHT, "16", "26"))
    assert told.found == ["Every tooth that is asked about stands as the scheme wants."]
    assert told.proposal == "As wanted"


def test_what_changed_has_a_line_for_each_word_with_teeth_in_the_readers_numbers():
    then = [Mark(tooth="17"), Mark(tooth="16", strength="heavy")]
    now = [Mark(tooth="16", strength="light"), Mark(tooth="26")]
    assert [(row.word, row.teeth) for row in passes_view.changed(now, then, "ISO 3950")] == [
        ("Gone", "17"),
        ("Weaker", "16"),
        ("New", "26"),
    ]
    assert passes_view.changed([], [], "ISO 3950") == []
    assert passes_view.changed(now, [], "Universal")[0].teeth == "3 14"


def test_a_pin_that_nobody_read_is_asked_about_after_the_first_grinding(walk):
    assert not passes_view.pin_due(walk.reload())
    walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm="0.2")
    assert passes_view.pin_due(walk.reload())


def test_after_grinding_centric_and_the_pin_are_looked_at_again(walk):
    walk.foil(CENTRIC, "16")
    walk.log(SetUpAct.PIN_READING, after_mm=0)
    walk.log(SetUpAct.TOOTH_SET, teeth=["26"])
    assert not passes_view.pin_due(walk.reload())
    walk.foil(CENTRIC, "16")
    case = walk.reload()
    assert passes_view.due(case, "ISO 3950") == []
    assert not passes_view.pin_due(case)
    walk.log(SetUpAct.REDUCTION, teeth=["16"], after_mm="0.2")
    case = walk.reload()
    assert passes_view.due(case, "Universal") == [
        "Ground or set since the last pass in centric: 3. Mark centric again."
    ]
    assert passes_view.pin_due(case)
    walk.foil(CENTRIC, "16")
    walk.log(SetUpAct.PIN_READING, after_mm=0)
    case = walk.reload()
    assert passes_view.due(case, "ISO 3950") == []
    assert not passes_view.pin_due(case)
