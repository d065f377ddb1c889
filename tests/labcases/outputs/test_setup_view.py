"""The set-up log read back in the words of the bench."""

from decimal import Decimal

import pytest

from labcases.domain import bench, passes
from labcases.domain.ledger import Balance
from labcases.domain.passes import Marked
from labcases.enums import Movement, SetUpAct, SetUpPart, Stage
from labcases.outputs import setup_view
from tests.factories import world

pytestmark = pytest.mark.django_db

ISO = "ISO 3950"
NO_BREAK = "\N{NO-BREAK SPACE}"


@pytest.fixture
def here():
    return world()


@pytest.fixture
def case(here):
    return here.case_at(Stage.DRAFT)


def logged(case, here, act, **values):
    return bench.log(case=case, by=here.tomas, values={"act": act, **values})


def foiled(case, here, movement, *teeth, as_wanted):
    return passes.log_pass(
        case=case,
        by=here.tomas,
        movement=movement,
        marks=[Marked(tooth) for tooth in teeth],
        as_wanted=as_wanted,
    )


LINES = [
    (SetUpAct.PIN_OPENED, {"before_mm": "0", "after_mm": "0.5"}, "from 0 mm to 0.5 mm"),
    (SetUpAct.PIN_READING, {"after_mm": "0.25"}, "0.25 mm"),
    (SetUpAct.BASE_REDUCED, {"teeth": ["16"], "after_mm": "1.8"}, "16, 1.8 mm of base left"),
    (SetUpAct.HOLLOW_GROUND, {"teeth": ["17"], "after_mm": "1"}, "17, 1 mm deep"),
    (
        SetUpAct.HOLLOW_GROUND,
        {"teeth": ["17"], "after_mm": "1", "shell_left_mm": "1.8", "base_mm": "2"},
        "17, 1 mm deep, 1.8 mm of shell left, base under it 2 mm, base and tooth over the fossa "
        "3.8 mm together",
    ),
    (SetUpAct.CUSP_HELD, {"teeth": ["16", "17"], "as_wanted": True}, "16 17, held"),
    (SetUpAct.CUSP_HELD, {"teeth": ["14"], "as_wanted": False}, "14, not held"),
    (SetUpAct.REDUCTION, {"teeth": ["16", "26"], "after_mm": "0.3"}, "16 26, 0.3 mm off each"),
    (SetUpAct.REDUCTION, {"teeth": ["16"], "after_mm": "0.3"}, "16, 0.3 mm off"),
    (SetUpAct.TOOTH_SET, {"teeth": ["14", "15"]}, "14 15"),
    (
        SetUpAct.PART_DONE,
        {"part": SetUpPart.POSTERIOR, "separable_base": False},
        "Posterior teeth, base does not come off the cast",
    ),
    (SetUpAct.BASE_ADAPTED, {"separable_base": True}, "base comes off the cast"),
    (SetUpAct.NOTE, {"note": "37 stands 1.6 mm high"}, "37 stands 1.6 mm high"),
    (SetUpAct.PIN_READING, {"after_mm": "0", "note": "foil held"}, "0 mm. foil held"),
    (
        SetUpAct.PIN_READING,
        {"before_mm": "0", "after_mm": "0.3"},
        "0.3 mm, the pin set at 0 mm is lifted by 0.3 mm",
    ),
    (
        SetUpAct.PIN_READING,
        {"before_mm": "0.5", "after_mm": "0.5"},
        "0.5 mm, the pin touches the table",
    ),
]


@pytest.mark.parametrize(("act", "values", "words"), LINES, ids=[words for *_, words in LINES])
def test_a_line_reads_as_a_sentence(case, here, act, values, words):
    entry = logged(case, here, act, **values)
    entry.refresh_from_db()
    assert setup_view.in_words(entry, ISO).replace(NO_BREAK, " ") == words


@pytest.mark.parametrize(
    ("as_wanted", "teeth", "words"),
    [
        (True, ("16", "26"), "Right lateral, as wanted, marks at 16 26"),
        (False, (), "Right lateral, not as wanted, no tooth marked"),
        (None, ("16",), "Right lateral, not said yet, marks at 16"),
    ],
)
def test_a_pass_reads_as_a_sentence(case, here, as_wanted, teeth, words):
    entry = foiled(case, here, Movement.RIGHT, *teeth, as_wanted=as_wanted)

    assert setup_view.in_words(entry, ISO) == words


def test_teeth_of_a_line_are_shown_in_the_readers_notation(case, here):
    entry = logged(case, here, SetUpAct.TOOTH_SET, teeth=["16"])
    assert setup_view.in_words(entry, "Universal") == "3"


def test_progress_says_which_teeth_are_still_to_be_set(case, here):
    logged(case, here, SetUpAct.TOOTH_SET, teeth=["17", "16", "15", "14", "24", "25"])
    posterior, anterior = setup_view.progress(case, ISO)
    assert posterior.teeth == "6 of 8 teeth logged as set; not yet: 26 27"
    assert anterior.teeth == "0 of 6 teeth logged as set; not yet: 13 12 11 21 22 23"
    assert not posterior.done


def test_progress_says_who_called_a_part_done_and_on_what_base(case, here):
    logged(case, here, SetUpAct.PART_DONE, part=SetUpPart.POSTERIOR, separable_base=False)
    posterior, anterior = setup_view.progress(case, ISO)
    assert (posterior.done, posterior.by) == (True, "Tomas Abelard")
    assert posterior.base == "the base does not come off the cast, so no try-in alone"
    assert not anterior.done


def test_a_struck_line_counts_for_nothing_and_stays_in_the_list(case, here):
    entry = logged(case, here, SetUpAct.PART_DONE, part=SetUpPart.ANTERIOR)
    bench.strike(entry=entry, reason="wrong case", by=here.tomas)
    _posterior, anterior = setup_view.progress(case, ISO)
    assert not anterior.done
    (line,) = setup_view.lines(case, ISO)
    assert line.struck
    assert line.what == "Anterior teeth"


def test_lines_stand_newest_first(case, here):
    logged(case, here, SetUpAct.PIN_READING, after_mm="0.5")
    logged(case, here, SetUpAct.PIN_READING, after_mm="0")
    told = [line.what.replace(NO_BREAK, " ") for line in setup_view.lines(case, ISO)]
    assert told == ["0 mm", "0.5 mm"]


def test_every_movement_has_a_row_with_its_last_pass(case, here):
    for as_wanted in (False, True):
        foiled(case, here, Movement.LEFT, as_wanted=as_wanted)
    rows = {row.movement: row for row in setup_view.passes(case, ISO)}
    assert list(rows) == ["Centric", "Right lateral", "Left lateral", "Protrusive"]
    assert (rows["Left lateral"].word, rows["Left lateral"].teeth) == (
        "As wanted",
        "no tooth marked",
    )
    assert rows["Centric"].word == "No pass yet"


@pytest.mark.parametrize(
    ("reading", "agreed", "word", "difference"),
    [
        (None, "0", "No reading yet", ""),
        ("0", "0", "Balanced", "0 mm"),
        ("0.05", "0", "Balanced", "+0.05 mm"),
        ("0.5", "0", "Not balanced", "+0.5 mm"),
        ("1", "1", "Balanced", "0 mm"),
        ("0.8", "1", "Not balanced", "\N{MINUS SIGN}0.2 mm"),
    ],
)
def test_the_vertical_is_told_in_a_word(reading, agreed, word, difference):
    view = setup_view.vertical(
        Balance(
            reading_mm=None if reading is None else Decimal(reading),
            agreed_mm=Decimal(agreed),
            zero_mm=Decimal("0"),
        )
    )
    assert view.word == word
    assert view.difference.replace(NO_BREAK, " ") == difference
