"""Each act asks for its own boxes, and no line grinds a natural tooth."""

from decimal import Decimal

import pytest

from labcases.domain import bench
from labcases.domain import question as asking
from labcases.enums import OpposingTooth, SetUpAct, Side, Stage, ToothStatus
from labcases.forms.setup import ASKED, LineForm, StrikeForm, typed
from labcases.management.walk import natural, teeth_of
from labcases.models import User
from tests.factories import world

pytestmark = pytest.mark.django_db

OWN = "17 16 15 14 13 12 11 21 22 23 24 25 26 27"


@pytest.fixture
def case():
    """An upper denture; 15 stays, 37 is a denture tooth, 36 is missing, 46 is natural."""
    return world().case_at(
        Stage.DRAFT,
        teeth={**teeth_of("upper", "conventional"), "15": ToothStatus.STAYS.value},
        opposing={
            **natural("lower"),
            "37": OpposingTooth.DENTURE.value,
            "36": OpposingTooth.MISSING.value,
        },
    )


def line(case, act, **typed):
    return LineForm(typed, act=act, case=case)


A = SetUpAct

EMPTY = {
    A.BASE_ADAPTED: {},
    A.PIN_OPENED: {
        "before_mm": "Enter the pin reading before it was opened.",
        "after_mm": "Enter the pin reading after it was opened.",
    },
    A.PIN_READING: {"after_mm": "Enter what the pin reads."},
    A.BASE_REDUCED: {
        "teeth": "Enter the site where the base was reduced.",
        "after_mm": "Enter the thickness of base that is left.",
    },
    A.HOLLOW_GROUND: {
        "teeth": "Enter the tooth that was hollow-ground.",
        "after_mm": "Enter how deep it was hollow-ground.",
    },
    A.TOOTH_SET: {"teeth": "Enter the teeth that were set."},
    A.CUSP_HELD: {
        "teeth": "Enter the teeth that were looked at.",
        "as_wanted": "Say whether the cusp is held in its fossa.",
    },
    A.REDUCTION: {
        "teeth": "Enter the denture teeth that were reduced.",
        "after_mm": "Enter how much was taken off.",
    },
    A.PART_DONE: {"part": "Choose the part that is done."},
    A.NOTE: {"note": "Write the note."},
}


@pytest.mark.parametrize("act", ASKED)
def test_an_empty_line_asks_for_what_belongs_to_its_act_and_nothing_else(case, act):
    form = line(case, act)
    form.is_valid()
    assert {name: list(errors) for name, errors in form.errors.items()} == {
        name: [sentence] for name, sentence in EMPTY[act].items()
    }


GOOD = {
    A.BASE_ADAPTED: {"separable_base": "yes"},
    A.PIN_OPENED: {"before_mm": "0", "after_mm": "0,5"},
    A.PIN_READING: {"after_mm": "0.5 mm"},
    A.BASE_REDUCED: {"teeth": "16", "after_mm": "1.8"},
    A.HOLLOW_GROUND: {
        "teeth": "16",
        "after_mm": "1",
        "shell_left_mm": "1,8",
        "base_mm": "2 mm",
    },
    A.CUSP_HELD: {"teeth": "16 17", "as_wanted": "no"},
    A.TOOTH_SET: {"teeth": "14, 16"},
    A.REDUCTION: {"teeth": "16 26", "after_mm": "0.3"},
    A.PART_DONE: {"part": "posterior", "separable_base": "yes"},
    A.NOTE: {"note": "46 stands 1.6 mm above the plane"},
}


@pytest.mark.parametrize("act", ASKED)
def test_a_filled_line_is_taken(case, act):
    form = line(case, act, **GOOD[act])
    assert form.is_valid(), form.errors
    assert form.values()["act"] == act


def test_values_are_those_of_the_log(case):
    form = line(case, A.REDUCTION, **GOOD[A.REDUCTION])
    assert form.is_valid()
    assert form.values() == {
        "act": A.REDUCTION,
        "teeth": ["16", "26"],
        "after_mm": Decimal("0.3"),
        "note": "",
    }


def test_every_act_without_a_page_of_its_own_has_a_line():
    assert set(SetUpAct) - set(ASKED) == {A.PASS, A.TRIMMED, A.ARRANGED}


@pytest.mark.parametrize("act", [A.REDUCTION, A.HOLLOW_GROUND, A.TOOTH_SET, A.BASE_REDUCED])
@pytest.mark.parametrize("tooth", ["15", "46"])
def test_a_natural_tooth_is_never_the_object_of_a_line(case, act, tooth):
    form = line(case, act, teeth=tooth, after_mm="0.3")
    form.is_valid()
    assert form.errors["teeth"] == [
        f"{tooth} is a natural tooth, and natural teeth are never changed here. Log what you "
        "found as a note and ask the dentist; enter denture teeth only: "
        f"{OWN.replace('15 ', '')}."
    ]


@pytest.mark.parametrize("tooth", ["18", "36"])
def test_a_tooth_that_is_not_there_is_refused(case, tooth):
    form = line(case, A.REDUCTION, teeth=tooth, after_mm="0.3")
    form.is_valid()
    assert form.errors["teeth"] == [
        f"{tooth} is not a tooth of this denture. Enter one of {OWN.replace('15 ', '')}."
    ]


def test_a_tooth_of_a_worn_opposing_denture_asks_for_the_dentists_word_at_its_box(case):
    form = line(case, A.REDUCTION, teeth="37", after_mm="0.3")
    form.is_valid()
    assert form.errors["teeth"] == [
        "37 belongs to the opposing denture, and a denture that is worn is adjusted only on the "
        "dentist's word. Ask the dentist about 37 first; once the question is answered, log the "
        "line."
    ]
    assert form["teeth"].value() == "37"


def test_a_tooth_of_the_opposing_denture_may_be_reduced_but_is_no_site_of_this_one(case):
    asker = User.objects.get(username="tomas")
    question = asking.ask(
        case=case,
        about="tooth 37",
        tooth="37",
        text="May it be adjusted?",
        waits_for=Side.OFFICE,
        clinical=True,
        by=asker,
    )
    asking.answer(question=question, text="Yes.", by=User.objects.get(username="dora"))
    assert line(case, A.REDUCTION, teeth="37", after_mm="0.3").is_valid()
    assert not line(case, A.TOOTH_SET, teeth="37").is_valid()


def test_a_depth_belongs_to_one_tooth(case):
    form = line(case, A.HOLLOW_GROUND, teeth="16 26", after_mm="1")
    form.is_valid()
    assert form.errors["teeth"] == [
        "16 26 are 2 teeth. Log one line for each: the millimetres belong to one tooth."
    ]


@pytest.mark.parametrize("after", ["0.5", "0.2"])
def test_opening_the_pin_raises_it(case, after):
    form = line(case, A.PIN_OPENED, before_mm="0.5", after_mm=after)
    form.is_valid()
    assert form.errors["after_mm"] == [
        f"The pin went from 0.5 to {after} mm, which does not open it. Enter the higher reading "
        "here, or log a closed pin as a reading."
    ]


def test_posterior_teeth_are_done_with_a_word_about_their_base(case):
    form = line(case, A.PART_DONE, part="posterior")
    form.is_valid()
    assert form.errors["separable_base"] == [
        "Say whether the base of the posterior teeth comes off the cast by itself."
    ]
    assert line(case, A.PART_DONE, part="anterior").is_valid()


@pytest.mark.parametrize(
    ("act", "typed", "sentence"),
    [
        (A.PIN_READING, {"after_mm": "31"}, "Pin reads is 31 mm. Enter -10 to 30 mm."),
        (
            A.REDUCTION,
            {"teeth": "16", "after_mm": "6"},
            "Taken off each is 6 mm. Enter 0.05 to 5 mm.",
        ),
        (
            A.HOLLOW_GROUND,
            {"teeth": "16", "after_mm": "0"},
            "Depth is 0 mm. Enter 0.05 to 5 mm.",
        ),
        (
            A.PIN_READING,
            {"after_mm": "low"},
            "Pin reads: enter a number, for example 1.5 or 1,5.",
        ),
    ],
)
def test_a_number_that_cannot_be_is_refused_with_its_limits(case, act, typed, sentence):
    form = line(case, act, **typed)
    form.is_valid()
    assert form.errors["after_mm"] == [sentence]


@pytest.mark.parametrize(("taken", "said"), [("0.5", False), ("0.6", True)])
def test_much_grinding_is_taken_with_a_word_of_caution(case, taken, said):
    form = line(case, A.REDUCTION, teeth="16", after_mm=taken)
    assert form.is_valid()
    assert bool(form.advice()) is said
    assert form.cleaned_data["after_mm"] == Decimal(taken)


def test_teeth_are_typed_in_the_readers_notation(case):
    form = LineForm({"teeth": "3"}, act=A.TOOTH_SET, case=case, notation="Universal")
    assert form.is_valid()
    assert form.values()["teeth"] == ["16"]
    assert "2 3 5 6" in str(form.fields["teeth"].help_text)


def test_striking_out_needs_a_reason():
    form = StrikeForm({"reason": " "})
    assert not form.is_valid()
    assert form.errors["reason"] == ["Give the reason why the line is struck out."]


def test_values_of_a_line_are_typed_as_a_person_would():
    told = {
        "teeth": ["16", "26"],
        "after_mm": Decimal("0.50"),
        "as_wanted": True,
        "separable_base": False,
        "part": "posterior",
    }
    assert typed(told, "Universal") == {
        "teeth": "3 14",
        "after_mm": "0.5",
        "as_wanted": "yes",
        "separable_base": "no",
        "part": "posterior",
    }


def test_the_base_is_carried_on_from_where_it_was_said(case):
    tomas = User.objects.get(username="tomas")
    bench.log(case=case, by=tomas, values={"act": A.BASE_ADAPTED, "separable_base": True})
    form = line(case, A.PART_DONE, part="posterior")
    assert form.is_valid(), form.errors
    assert form.values()["separable_base"] is True
