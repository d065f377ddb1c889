"""Deviations from the natural arrangement: on whose word, in which unit, and asked or not."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import arrangement, bench, history, proposing, undo
from labcases.domain.arrangement import CannotDeviate
from labcases.enums import Stage
from labcases.enums.proposals import ProposalKind
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def deviate(walk, tooth="11", deviation="longer", wanted_by="technician", **more):
    return arrangement.log(
        case=walk.reload(),
        by=walk.hands.technician,
        tooth=tooth,
        deviation=deviation,
        wanted_by=wanted_by,
        **more,
    )


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"deviation": "longer", "amount_mm": D("0.50")}, "longer by 0.5 mm"),
        ({"deviation": "turned", "amount_deg": D("10")}, "turned about its long axis by 10 deg"),
        ({"deviation": "tipped", "words": "to mesial"}, "tipped to the side, to mesial"),
        ({"deviation": "other", "words": "  behind 12 "}, "behind 12"),
    ],
)
def test_a_deviation_reads_as_a_person_says_it(walk, told, words):
    deviate(walk, **told)
    (found,) = arrangement.of(walk.reload())
    assert (found.tooth, found.words) == ("11", words)


def test_history_says_it_and_an_undo_strikes_it_out(walk):
    with history.noting() as written:
        deviate(walk, amount_mm=D("0.5"))
    (said,) = written
    assert said.act == "tooth set otherwise than the natural one"
    assert said.changes == {
        "11": [None, "longer by 0.5 mm"],
        "wanted by": [None, "the technician"],
    }
    undo.undo(case=walk.case, numbers=[said.sequence], by=walk.hands.technician)
    assert arrangement.of(walk.reload()) == []


def test_a_struck_line_is_no_deviation(walk):
    entry = deviate(walk)
    bench.strike(entry=entry, reason="other tooth", by=walk.hands.technician)
    assert arrangement.of(walk.reload()) == []


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        (
            {"tooth": "46"},
            "46 is no denture tooth of this case. Choose the tooth that is set otherwise.",
        ),
        ({"deviation": "other"}, "Say in words how the tooth is set otherwise."),
        (
            {"deviation": "turned", "amount_mm": D("1.50")},
            "Turned about its long axis is told in deg, and 1.5 mm was given. Empty that box.",
        ),
        (
            {"amount_deg": D("5")},
            "Longer is told in mm, and 5 deg was given. Empty that box.",
        ),
    ],
)
def test_a_line_that_cannot_be_is_refused_in_words(walk, told, sentence):
    with pytest.raises(CannotDeviate) as refused:
        deviate(walk, **told)
    assert str(refused.value) == sentence


def test_a_technicians_own_deviation_is_unasked_until_it_was_proposed():
    walk = world().walk()
    walk.to(Stage.SET_UP)
    deviate(walk, tooth="11")
    deviate(walk, tooth="21", wanted_by="prescription")
    own, prescribed = arrangement.of(walk.reload())
    assert (own.unasked, prescribed.unasked) == (True, False)
    proposal = proposing.raise_proposal(
        case=walk.case,
        kind=ProposalKind.ARRANGEMENT,
        tooth="11",
        why="longer, as in youth",
        by=walk.hands.technician,
    )
    own, _prescribed = arrangement.of(walk.reload())
    assert (own.unasked, own.proposal) == (False, proposal)
