"""What a line leaves to mind: thin base, thin shell, porcelain, and what nobody entered."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import bench, setup_cautions
from labcases.enums import SetUpAct, Stage, ToothMaterial
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.DRAFT)
    return walk


def minding(walk, act, **values):
    bench.log(
        case=walk.reload(),
        by=walk.hands.technician,
        values={"act": act, "teeth": ["16"], **values},
    )
    case = walk.reload()
    return setup_cautions.of_line(case, case.setup_entries.last())


def codes(walk, act, **values):
    return [one.code for one in minding(walk, act, **values)]


def least(here, walk, *, base=None, shell=None, material=ToothMaterial.RESIN):
    here.laboratory.base_min_mm = base
    here.laboratory.save()
    bench.save_selection(
        case=walk.reload(),
        version=0,
        by=here.tomas,
        values={"shell_min_mm": shell, "material": material},
    )


@pytest.mark.parametrize(
    ("left", "found"), [("2", []), ("1.99", ["thin-base"]), ("0", ["thin-base"])]
)
def test_a_base_is_thin_below_the_figure_of_the_house(here, walk, left, found):
    least(here, walk, base=D("2"))
    assert codes(walk, SetUpAct.BASE_REDUCED, after_mm=D(left)) == found


def test_a_thin_base_is_told_with_whose_figure_it_is_and_what_was_tested(here, walk):
    least(here, walk, base=D("2"))
    (caution,) = minding(walk, SetUpAct.BASE_REDUCED, after_mm=D("1.2"))
    assert caution.text == (
        "1.2 mm of base is left at 16, less than 2 mm (least base of Tarn Lane Laboratory)."
    )
    assert "bases of 1.6, 2.0 and 2.5 mm tested" in caution.source


def test_without_a_figure_of_a_house_nothing_is_held_against_one(walk):
    (caution,) = minding(walk, SetUpAct.BASE_REDUCED, after_mm=D("0.5"))
    assert caution.code == "no-least-base"
    assert caution.text.startswith("No least base is entered at 16")


@pytest.mark.parametrize(
    ("values", "found"),
    [
        ({"shell_left_mm": D("1.5"), "base_mm": D("2")}, []),
        ({"shell_left_mm": D("1.49"), "base_mm": D("2")}, ["thin-shell"]),
        ({"shell_left_mm": D("1.5"), "base_mm": D("1.99")}, ["thin-base-under-tooth"]),
        ({}, ["shell-not-read"]),
    ],
)
def test_a_hollow_ground_tooth_is_held_against_its_sheet_and_the_base_under_it(
    here, walk, values, found
):
    least(here, walk, base=D("2"), shell=D("1.5"))
    assert codes(walk, SetUpAct.HOLLOW_GROUND, after_mm=D("1"), **values) == found


def test_without_a_sheet_no_shell_is_called_thin_and_the_line_says_so(walk):
    (caution,) = minding(
        walk, SetUpAct.HOLLOW_GROUND, after_mm=D("1"), shell_left_mm=D("0.2"), base_mm=D("2")
    )
    assert caution.text == (
        "No least shell is entered for 16. Enter what the material sheet of the tooth says, with "
        "the teeth or at the site."
    )


def test_porcelain_is_cautioned(here, walk):
    least(here, walk, base=D("2"), shell=D("1.5"), material=ToothMaterial.PORCELAIN)
    (caution,) = minding(
        walk, SetUpAct.HOLLOW_GROUND, after_mm=D("1"), shell_left_mm=D("2"), base_mm=D("2")
    )
    assert caution.text.startswith("Hollow-grinding takes away what holds a porcelain tooth")


def test_the_base_under_a_tooth_is_what_the_last_line_says(walk):
    walk.log(SetUpAct.BASE_REDUCED, teeth=["16"], after_mm=D("1.7"))
    assert setup_cautions.base_under(walk.reload(), "16") == D("1.7")
    walk.log(SetUpAct.HOLLOW_GROUND, teeth=["16"], after_mm=D("1"), base_mm=D("1.6"))
    assert setup_cautions.base_under(walk.reload(), "16") == D("1.6")
    assert setup_cautions.base_under(walk.case, "17") is None


def test_other_lines_leave_nothing_to_mind(walk):
    assert codes(walk, SetUpAct.TOOTH_SET) == []
