"""What a scheme wants of a pass: the tables of the check, held against the teeth that marked."""

import pytest

from labcases.domain.calculations import FoilSeen, weigh_pass
from labcases.enums import Movement, OpposingTooth, Scheme
from labcases.enums.marks import Cusps, Strength
from labcases.notation import LOWER, UPPER

CENTRIC, RIGHT, LEFT, PROTRUSIVE = Movement
OWN = ["17", "16", "15", "14", "24", "25", "26", "27"]
KINDS = {
    **dict.fromkeys(UPPER, OpposingTooth.DENTURE),
    **dict.fromkeys(LOWER, OpposingTooth.NATURAL),
}


def weigh(scheme, movement, *marked, own=OWN, kinds=KINDS):
    marks = [one if isinstance(one, FoilSeen) else FoilSeen(one) for one in marked]
    return weigh_pass(marks, movement=movement, scheme=scheme, kinds=kinds, own=own)


def test_without_a_scheme_nothing_is_proposed():
    assert weigh("", RIGHT, "16").as_wanted is None


@pytest.mark.parametrize("movement", Movement)
@pytest.mark.parametrize("scheme", [Scheme.BALANCED, Scheme.LINGUALISED])
def test_balance_wants_every_posterior_tooth_in_every_movement(scheme, movement):
    assert weigh(scheme, movement, *OWN).as_wanted
    told = weigh(scheme, movement, *OWN[:-2])
    assert (told.as_wanted, told.lacking) == (False, ("26", "27"))


@pytest.mark.parametrize(("movement", "working"), [(RIGHT, OWN[:4]), (LEFT, OWN[4:])])
def test_group_function_wants_the_working_side_and_frees_the_other(movement, working):
    assert weigh(Scheme.GROUP, movement, *working).as_wanted
    other = [tooth for tooth in OWN if tooth not in working]
    told = weigh(Scheme.GROUP, movement, *working, other[0])
    assert (told.as_wanted, told.unwanted) == (False, (other[0],))


def test_canine_guidance_wants_the_working_canine_alone():
    own = [*OWN, "13", "23"]
    assert weigh(Scheme.CANINE, RIGHT, "13", own=own).as_wanted
    told = weigh(Scheme.CANINE, RIGHT, "16", own=own)
    assert (told.lacking, told.unwanted) == (("13",), ("16",))
    assert weigh(Scheme.CANINE, PROTRUSIVE, own=own).as_wanted
    # Before the front teeth are set no canine is asked for.
    assert weigh(Scheme.CANINE, RIGHT).as_wanted


def test_a_flat_scheme_asks_for_nothing_but_centric():
    assert weigh(Scheme.FLAT, RIGHT).as_wanted
    assert weigh(Scheme.FLAT, RIGHT, "16").as_wanted
    assert not weigh(Scheme.FLAT, CENTRIC, "16").as_wanted


def test_a_tooth_marks_when_what_it_meets_does():
    opposite = [f"{'4' if tooth[0] == '1' else '3'}{tooth[1]}" for tooth in OWN]
    assert weigh(Scheme.BALANCED, CENTRIC, *opposite).as_wanted


def test_a_tooth_over_a_gap_is_not_asked_for():
    kinds = {**KINDS, "47": OpposingTooth.MISSING, "37": OpposingTooth.MISSING}
    assert weigh(Scheme.BALANCED, RIGHT, *OWN[1:-1], kinds=kinds).as_wanted


def test_a_heavy_mark_is_never_as_wanted():
    marks = [*OWN[:-1], FoilSeen("27", Strength.HEAVY)]
    told = weigh(Scheme.BALANCED, CENTRIC, *marks)
    assert (told.as_wanted, told.heavy) == (False, ("27",))
    assert weigh(Scheme.BALANCED, CENTRIC, *OWN[:-1], FoilSeen("27", Strength.FIRM)).as_wanted


def test_buccal_cusps_do_not_carry_a_lingualised_scheme():
    marks = [*OWN[:-1], FoilSeen("27", cusps=Cusps.BUCCAL)]
    assert weigh(Scheme.LINGUALISED, RIGHT, *marks).buccal == ("27",)
    assert weigh(Scheme.BALANCED, RIGHT, *marks).as_wanted


@pytest.mark.parametrize(
    ("scheme", "movement", "wishes"),
    [
        (Scheme.BALANCED, CENTRIC, [("centric", "contact")]),
        (Scheme.GROUP, RIGHT, [("working", "contact"), ("balancing", "no contact")]),
        (Scheme.GROUP, LEFT, [("working", "contact"), ("balancing", "no contact")]),
        (Scheme.CANINE, PROTRUSIVE, [("protrusive", "no contact")]),
        (Scheme.FLAT, PROTRUSIVE, [("protrusive", "nothing said")]),
    ],
)
def test_the_wish_of_each_role_is_told(scheme, movement, wishes):
    told = weigh(scheme, movement)
    assert [(wish.role, wish.wish) for wish in told.wishes] == wishes


def test_wanted_contacts_stay_when_others_are_too_heavy():
    told = weigh(Scheme.BALANCED, RIGHT, *OWN[2:], FoilSeen("16", Strength.HEAVY), "17", "46")
    assert told.kept == ("15", "14", "24", "25", "26", "27", "17")


def test_of_a_pass_without_a_word_on_any_mark_nothing_is_said_to_stay():
    assert weigh(Scheme.BALANCED, RIGHT, *OWN).kept == ()
    assert weigh(Scheme.BALANCED, RIGHT, *OWN[:4]).kept == ()


def test_in_group_function_only_the_working_side_stays():
    told = weigh(Scheme.GROUP, RIGHT, *OWN)
    assert (told.unwanted, told.kept) == (tuple(OWN[4:]), tuple(OWN[:4]))
