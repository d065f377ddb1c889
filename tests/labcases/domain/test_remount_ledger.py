"""The vertical after processing: read, corrected or accepted, and balanced again."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import reductions, remount, remount_ledger
from labcases.enums import Movement, Stage
from labcases.enums.remount import RemountAct
from labcases.management import walk_remount
from labcases.management.walk import Walk
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal
A = RemountAct
NB = "\N{NO-BREAK SPACE}"


@pytest.fixture
def walk() -> Walk:
    walk = world().walk()
    walk.to(Stage.REMOUNT)
    return walk


def log(walk: Walk, act: RemountAct, **values):
    return walk_remount.log(walk.reload(), walk.hands.technician, act, **values)


def say(walk: Walk, *said: str) -> None:
    """Readings as numbers, the acts by their words; corrections at 16 by 0.2 mm."""
    for one in said:
        if one == "corrected":
            log(walk, A.REDUCTION, teeth=["16"], depth_mm=D("0.2"))
        elif one == "accepted":
            log(walk, A.ACCEPTED)
        elif one == "cause":
            log(walk, A.CAUSE, cause="fast_cycle")
        elif one == "on the index":
            log(walk, A.INDEX_READ, rise_mm=D("0.7"), hours_after=48)
        else:
            log(walk, A.PIN_READ, rise_mm=D(one))


# What was said in its order (limits: occlusion page C28, common practice, no source), and: the
# last reading, what was accepted, what is left, balanced, may be accepted, lacks its cause.
TABLE = [
    ((), (None, None, None, False, False, False)),
    (("0",), ("0", None, "0", True, False, False)),
    (("0.05",), ("0.05", None, "0.05", True, False, False)),
    (("0.06",), ("0.06", None, "0.06", False, True, False)),
    (("0.5",), ("0.5", None, "0.5", False, True, False)),
    (("0.5", "accepted"), ("0.5", "0.5", "0", True, False, False)),
    (("0.51",), ("0.51", None, "0.51", False, False, False)),
    (("1",), ("1", None, "1", False, False, False)),
    (("1.01",), ("1.01", None, "1.01", False, False, True)),
    (("1.01", "cause"), ("1.01", None, "1.01", False, False, False)),
    (("1.01", "0.3"), ("0.3", None, "0.3", False, True, True)),
    (("0.4", "corrected"), ("0.4", None, "0.4", False, False, False)),
    (("0.4", "corrected", "0"), ("0", None, "0", True, False, False)),
    (("0.4", "accepted", "corrected"), ("0.4", None, "0.4", False, False, False)),
    (("0.4", "accepted", "0.3"), ("0.3", None, "0.3", False, True, False)),
    (("0.4", "accepted", "on the index"), ("0.4", "0.4", "0", True, False, False)),
    (("-0.2", "accepted"), ("-0.2", "-0.2", "0", True, False, False)),
    (("-0.6",), ("-0.6", None, "-0.6", False, False, False)),
]


@pytest.mark.parametrize(("said", "expected"), TABLE, ids=lambda one: " ".join(map(str, one)))
def test_the_ledger_balances_when_the_pin_is_back_or_what_is_left_is_accepted(walk, said, expected):
    say(walk, *said)

    told = remount_ledger.of(walk.reload())

    rise, accepted, left, *words = expected
    assert (told.rise_mm, told.accepted_mm, told.left_mm) == tuple(
        None if one is None else D(one) for one in (rise, accepted, left)
    )
    assert [told.balanced, told.may_accept, told.lacks_cause] == words


def test_a_line_that_is_struck_out_no_longer_counts(walk):
    say(walk, "0.4", "accepted")
    remount.strike(
        row=walk.case.remount_entries.get(act=A.ACCEPTED),
        reason="not agreed",
        by=walk.hands.technician,
    )

    assert remount_ledger.of(walk.reload()).balanced is False


def test_the_pin_itself_reads_zero_the_agreed_value_and_the_rise(walk):
    type(walk.case.mounting).objects.update(pin_zero_mm=D("2"))
    type(walk.case.articulator).objects.update(pin_agreed_mm=D("0.5"))
    say(walk, "0.3")

    told = remount_ledger.of(walk.reload())

    assert (told.zero_mm, told.agreed_mm, told.pin_mm) == (D("2"), D("0.5"), D("2.8"))


def test_contacts_stand_before_the_first_correction_and_after_the_last(walk):
    def mark(movement: str, *teeth: str) -> None:
        log(walk, A.PASS, movement=movement, teeth=list(teeth), as_wanted=not teeth)

    say(walk, "0.4")
    mark(Movement.CENTRIC, "17")
    mark(Movement.CENTRIC, "16")
    say(walk, "corrected")
    mark(Movement.CENTRIC, "15")
    say(walk, "corrected")
    mark(Movement.CENTRIC)

    centric, right, *_ = remount_ledger.of(walk.reload()).contacts

    assert (centric.movement, centric.before.teeth, centric.after.teeth) == ("centric", ["16"], [])
    assert (right.before, right.after) == (None, None)


def test_each_reading_says_what_explains_it(walk):
    say(walk, "0.4", "corrected", "0", "0.2", "0")

    told = remount_ledger.steps(walk.reload())

    assert [(str(step.entry.rise_mm), step.change_mm) for step in told] == [
        *(("0.40", D("0.40")), ("0.00", D("-0.40")), ("0.20", D("0.20")), ("0.00", D("-0.20")))
    ]
    assert told[0].text == f"Processing raised it by 0.4{NB}mm."
    assert told[1].text == (
        f"Went down by 0.4{NB}mm. Corrections since explain at most 0.31{NB}mm: 16 by 0.2 mm "
        f"(0.31 mm at the pin). 0.09{NB}mm is not explained. Look at the seat of the cast, and "
        "read the pin once more."
    )
    assert told[2].text.startswith(f"Rose by 0.2{NB}mm, and no correction raises a pin.")
    assert told[3].text.startswith(f"Went down by 0.2{NB}mm. No correction is logged since.")
    assert [step.unexplained_mm for step in told] == [0, D("-0.09"), D("0.20"), D("-0.20")]


@pytest.mark.parametrize(
    ("rise", "text"),
    [
        ("0.05", "Processing left the pin at the agreed value."),
        (
            "-0.3",
            f"It stands 0.3{NB}mm lower than before processing. Nothing is reduced for that.",
        ),
    ],
)
def test_the_first_reading_is_told_against_the_agreed_value(walk, rise, text):
    say(walk, rise)

    assert [step.text for step in remount_ledger.steps(walk.reload())] == [text]


def test_what_is_corrected_counts_among_what_was_taken_off_a_tooth(walk):
    before = reductions.taken_mm(walk.reload()).get("16", 0.0)
    say(walk, "0.4", "corrected", "corrected")

    assert reductions.taken_mm(walk.reload())["16"] == pytest.approx(before + 0.4)
