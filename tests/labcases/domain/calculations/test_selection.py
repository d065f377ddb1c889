"""What measures say of the teeth to choose: ranges with a weight and a source, per case."""

from __future__ import annotations

from decimal import Decimal

import pytest

from labcases.domain import bench
from labcases.domain.calculations import selection_advice
from labcases.enums import OpposingTooth, ToothMaterial
from labcases.management.sample import SETTINGS
from labcases.management.walk import natural
from labcases.models import ToothSelection
from tests.factories import world

pytestmark = pytest.mark.django_db

D = Decimal


@pytest.fixture
def here():
    return world()


def case_with(here, **prescribed):
    walk = here.walk()
    walk.prescribe(**prescribed)
    return walk.reload()


@pytest.fixture
def case(here):
    return case_with(here)


def advice(case, **measured):
    return selection_advice(case, ToothSelection(**{name: D(v) for name, v in measured.items()}))


def of_six(told):
    [found] = [one for one in told.widths if one.take_mm is not None]
    return found


class TestWidths:
    def test_nothing_measured_nothing_proposed(self, case):
        told = advice(case)

        assert (told.estimates, told.widths, told.rooms, told.warnings) == ((), (), (), ())

    def test_each_measure_is_a_range_with_its_weight_and_source(self, case):
        # 28 mm x 0.618 / 2 is 8.652 mm, 11.5 % to either side.
        [one] = advice(case, inner_canthal_mm="28").estimates

        assert (one.name, one.quantity, one.weight) == (
            *("inner eye corners", "width of a central incisor", 0.5),
        )
        assert (one.low_mm, one.high_mm) == (
            pytest.approx(7.657, abs=1e-3),
            pytest.approx(9.647, abs=1e-3),
        )
        assert one.source.startswith("Abdullah, Journal of Prosthetic Dentistry 2002;88")

    def test_a_width_of_one_tooth_says_nothing_of_the_six(self, case):
        told = advice(case, natural_central_mm="8.6")

        assert [one.quantity for one in told.estimates] == ["width of a central incisor"]
        assert [one.take_mm for one in told.widths] == [None]

    def test_the_six_say_nothing_of_one_tooth(self, case):
        told = advice(case, natural_six_mm="46.2")

        assert [one.quantity for one in told.estimates] == ["width of the six front teeth"]
        # The middle of what was measured.
        assert of_six(told).take_mm == 46.2

    def test_natural_teeth_set_the_formulas_aside(self, case):
        told = advice(case, natural_six_mm="46.2", hamular_notch_mm="40")

        assert of_six(told).take_mm == 46.2
        assert "Set aside, because the patient's own teeth are known: hamular notches" in (
            of_six(told).sentence
        )

    def test_a_lower_denture_has_no_rule_for_its_front_teeth(self, here):
        case = case_with(here, arch="lower")

        told = advice(case, natural_six_mm="36", inner_canthal_mm="28")

        assert (told.estimates, told.widths) == ((), ())

    def test_an_unusual_measure_is_pointed_out(self, case):
        [warning] = advice(case, bizygomatic_mm="170").warnings

        assert "170 mm" in warning.text


class TestSizes:
    @pytest.mark.parametrize(
        ("own", "other", "warned"),
        # The lower six are 77.2 % of the upper ones at the mean: 35.5 mm ask for 46.0 mm.
        [
            ("46", "35.5", False),
            ("44.1", "35.5", False),
            ("43.9", "35.5", True),
            ("48.1", "35.5", True),
        ],
    )
    def test_only_a_difference_above_2_mm_is_told(self, case, own, other, warned):
        told = advice(case, front_six_mm=own, opposing_six_mm=other)

        assert [one.code for one in told.warnings] == (["tooth_sizes_differ"] if warned else [])

    def test_in_a_lower_denture_the_chosen_teeth_are_the_lower_ones(self, here):
        case = case_with(here, arch="lower")

        assert advice(case, front_six_mm="35.5", opposing_six_mm="46").warnings == ()
        assert advice(case, front_six_mm="38", opposing_six_mm="46").warnings != ()


class TestRoom:
    def test_each_side_says_which_back_teeth_fit(self, case):
        # 7 + 7 + 10 + 9 mm of the textbook are 33.
        right, left = advice(case, room_right_mm="33", room_left_mm="30").rooms

        assert (
            "Right side, 33 mm from the canine to the front of the tuberosity: 14, 15, 16, 17 fit"
            in right
        )
        assert "24, 25, 26 fit at middle widths, 27 left out rather than crowded." in left

    def test_the_width_of_the_chosen_mould_takes_the_place_of_the_textbook(self, case):
        [text] = advice(case, room_right_mm="30", posterior_four_mm="29").rooms

        assert "14, 15, 16, 17 fit" in text
        assert "textbook" not in text


class TestCusps:
    def test_without_settings_or_scheme_the_page_that_mends_it_is_named(self, case, here):
        assert advice(case).cusps.part == "settings"
        bench.save_articulator(case=case, version=0, by=here.tomas, values=SETTINGS)
        type(case.prescription).objects.update(scheme="")
        case = type(case).objects.get(pk=case.pk)

        told = advice(case).cusps

        assert (told.part, told.rows) == ("prescription", ())

    def test_a_cusp_as_steep_as_every_path_is_in_balance(self, case, here):
        # 20 deg in front and behind: in protrusion every tooth slides along 20 deg (geometry).
        bench.save_articulator(
            case=case,
            version=0,
            by=here.tomas,
            values={
                **SETTINGS,
                "condylar_right_deg": D("20"),
                "condylar_left_deg": D("20"),
                "incisal_table_deg": D("20"),
            },
        )

        rows = {row.angle_deg: row for row in advice(type(case).objects.get(pk=case.pk)).cusps.rows}

        low, high = rows[20.0].roles[0].gap_mm
        assert low < 0.0 < high
        assert rows[0.0].roles[0].fit == "parts"
        assert rows[33.0].roles[0].fit == "interferes"


class TestMaterials:
    def test_each_material_is_weighed_against_natural_teeth(self, case):
        told = {one.material: one.cautions for one in advice(case).materials}

        assert set(told) == set(ToothMaterial)
        porcelain = [one.code for one in told[ToothMaterial.PORCELAIN]]
        assert porcelain[0] == "porcelain_wears_enamel"
        assert "resin_yields_to_enamel" in [one.code for one in told[ToothMaterial.RESIN]]

    def test_where_no_natural_tooth_is_met_nothing_is_said(self, here):
        opposing = {
            tooth: (OpposingTooth.DENTURE if kind == OpposingTooth.NATURAL else kind)
            for tooth, kind in natural("lower").items()
        }

        assert advice(case_with(here, opposing=opposing)).materials == ()
