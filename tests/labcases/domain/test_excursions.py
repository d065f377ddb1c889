"""What the last passes in the excursions say of a mark in centric, and what is said by hand."""

from decimal import Decimal

import pytest

from labcases.domain import bench, excursions, passes
from labcases.domain.calculations import SeenExcursion
from labcases.domain.excursions import NotOfCentric
from labcases.domain.passes import Marked
from labcases.enums import Movement, Stage
from labcases.enums.marks import Excursions
from labcases.models import Mark
from tests.factories import world

pytestmark = pytest.mark.django_db

CENTRIC, RIGHT, LEFT, PROTRUSIVE = Movement


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def say(walk, entry, tooth, answer):
    mark = entry.marks.get(tooth=tooth)
    return excursions.say(mark=mark, answer=answer, by=walk.hands.technician)


def test_the_last_pass_of_each_excursion_counts_as_wanted_or_not(walk):
    walk.foil(CENTRIC, "16", as_wanted=False)
    walk.foil(RIGHT, "17")
    walk.foil(RIGHT, Marked("16", "heavy", "lingual"), "46", as_wanted=True)
    walk.foil(LEFT, as_wanted=False)
    assert excursions.seen(walk.reload()) == {
        RIGHT: SeenExcursion({"16": "lingual", "46": ""}),
        LEFT: SeenExcursion({}),
    }


def test_teeth_that_were_ground_after_a_pass_are_told(walk):
    entry = walk.foil(RIGHT, "16", as_wanted=False)
    passes.grind(
        mark=entry.marks.get(), tooth="16", depth_mm=Decimal("0.2"), by=walk.hands.technician
    )
    walk.foil(LEFT)
    found = excursions.seen(walk.reload())
    assert found[RIGHT].since == {"16"}
    assert found[LEFT].since == set()


def test_what_is_said_counts_for_both_teeth_of_the_contact_and_stands_in_history(walk):
    entry = walk.foil(CENTRIC, "16", "46", "26", as_wanted=False)
    say(walk, entry, "16", Excursions.NOT_KNOWN)
    say(walk, entry, "46", Excursions.YES)
    answers = dict(Mark.objects.values_list("tooth", "in_excursions"))
    assert answers == {"16": "yes", "46": "yes", "26": ""}
    told = walk.case.history.filter(act="excursions answered").order_by("id")
    assert [one.changes for one in told] == [
        {"tooth": [None, "16"], "marks in excursions too": [None, "not known"]},
        {"tooth": [None, "46"], "marks in excursions too": ["not known", "yes"]},
    ]


def test_the_same_word_again_writes_nothing(walk):
    entry = walk.foil(CENTRIC, "16", as_wanted=False)
    say(walk, entry, "16", Excursions.NO)
    before = walk.case.history.count()
    assert say(walk, entry, "16", Excursions.NO).in_excursions == "no"
    assert walk.case.history.count() == before


def test_it_is_asked_of_standing_marks_in_centric_only(walk):
    lateral = walk.foil(RIGHT, "16", as_wanted=False)
    with pytest.raises(NotOfCentric, match=r"^This is asked of marks in centric only\.$"):
        say(walk, lateral, "16", Excursions.YES)
    centric = walk.foil(CENTRIC, "16", as_wanted=False)
    bench.strike(entry=centric, reason="wrong foil", by=walk.hands.technician)
    with pytest.raises(NotOfCentric, match=r"^This pass was struck out\."):
        say(walk, centric, "16", Excursions.YES)
    assert set(Mark.objects.values_list("in_excursions", flat=True)) == {""}
