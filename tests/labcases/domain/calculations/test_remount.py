"""What a pin rise asks for on a case: limits, which tooth by foil, how far at most by the pin."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases import notation
from labcases.domain import bench, calculations, teeth
from labcases.domain.calculations import SeenExcursion, SeenMark
from labcases.enums import Movement, Stage
from labcases.management.walk import Walk
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
NO_PLACE = (
    "The pin alone does not tell where the teeth meet: find the place with foil before anything is "
    "reduced."
)


@pytest.fixture
def walk() -> Walk:
    walk = world().walk()
    walk.to(Stage.DRAFT)
    return walk


def ask(walk: Walk, rise: str, *marks: SeenMark, cause: str = ""):
    case = walk.reload()
    row = case.prescription
    return calculations.rise_advice(
        case,
        rise_mm=D(rise),
        cause=cause,
        marks=marks,
        kinds={tooth: teeth.kind(row, tooth) for tooth in (*notation.UPPER, *notation.LOWER)},
        made_of=dict.fromkeys(teeth.replaced(row), "resin"),
        height=None,
        taken_mm={},
        excursions=NONE_MARKS,
    )


#: Every excursion has a pass after processing, and nothing marked in it.
NONE_MARKS = {one: SeenExcursion({}) for one in Movement if one != Movement.CENTRIC}
CENTRIC = SeenMark(Movement.CENTRIC, "17", "buccal")

#: Rise (C28: memory, common practice), cause: the grade, and whether a correction is proposed.
LIMITS = [
    ("-0.2", "", "below zero", False),
    ("0", "", "good", False),
    ("0.3", "", "good", True),
    ("0.5", "", "good", True),
    ("0.51", "", "correct", True),
    ("1", "", "correct", True),
    ("1.01", "", "investigate", False),
    ("1.01", "the flask did not close", "investigate", True),
]


@pytest.mark.parametrize(("rise", "cause", "grade", "proposes"), LIMITS)
def test_above_a_millimetre_nothing_is_proposed_until_the_cause_is_recorded(
    walk, rise, cause, grade, proposes
):
    told = ask(walk, rise, CENTRIC, cause=cause)

    assert (told.grade, told.proposes, bool(told.rows)) == (grade, proposes, proposes)
    assert told.limits == NO_PLACE


def test_without_marks_no_tooth_is_named(walk):
    told = ask(walk, "0.8")

    assert told.rows == ()
    assert told.limits == (
        "No marks are logged after processing, so no tooth is named. Mark centric with foil; the "
        "pin alone does not locate it."
    )


def test_the_published_thirds_of_a_rise_of_a_millimetre(walk):
    """Second molar at 2 inches from the axis, incisors at 4, the pin at 6 (C11, C28: 0.333, 0.667;
    Kaiser and Schelb, read)."""
    walk.settings |= {
        "incisal_x_mm": D("101.6"),
        "incisal_z_mm": D("-32"),
        "pin_x_mm": D("152.4"),
        "pin_z_mm": D("-32"),
    }
    walk.reload()
    walk.enter_settings()
    for tooth, behind in (("17", "50.8"), ("11", "0")):
        bench.save_site(
            case=walk.reload(),
            tooth=tooth,
            version=0,
            by=walk.hands.technician,
            values={"behind_incisal_mm": D(behind)},
        )

    told = ask(walk, "1", CENTRIC, SeenMark(Movement.CENTRIC, "11"))

    assert {row.advice.mark.tooth: row.if_alone_mm for row in told.rows if row.if_alone_mm} == {
        "17": D("0.33"),
        "11": D("0.67"),
    }


def test_the_pin_says_nothing_of_an_excursion_or_without_settings(walk):
    told = ask(walk, "0.8", CENTRIC, SeenMark(Movement.RIGHT, "16", "buccal"))

    assert [row.if_alone_mm for row in told.rows] == [None, None]
    walk.enter_settings()
    told = ask(walk, "0.8", CENTRIC, SeenMark(Movement.RIGHT, "16", "buccal"))
    assert [row.if_alone_mm is None for row in told.rows] == [False, True]


def test_a_natural_tooth_that_marks_is_a_place_and_never_yields(walk):
    told = ask(walk, "0.8", SeenMark(Movement.CENTRIC, "46", "buccal"))

    (row,) = told.rows
    assert (row.advice.mark.tooth, row.advice.yields) == ("46", "16")


@pytest.mark.parametrize(("vertical", "growth"), [("65", (D("1.2"), D("1.9"))), ("1000", None)])
def test_growth_at_a_vertical_is_that_of_the_abstract(vertical, growth):
    """1.92 and 2.92 % (C28, abstract read): 1.248 and 1.898 mm at 65 mm."""
    assert calculations.growth_mm(D(vertical)) == growth
