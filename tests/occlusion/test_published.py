"""The engine against every row of fixtures/published, within the tolerance of the row."""

import re
from pathlib import Path

import pytest

from occlusion import curves, motion, pin, space, spread
from tests import published
from tests.occlusion.bench import (
    CANINE,
    INCISAL,
    M1,
    M2,
    PM1,
    at,
    excursion_of,
    moved,
    settings_of,
    symmetric,
    tooth,
)
from tests.occlusion.second_opinion import Bench, Move
from tests.published import number

#: Test geometry G2, in the sagittal plane only: a triangle with a side of 100 mm.
G2_HEIGHT_MM = curves.bonwill_height_mm(side_mm=100.0)
G2_BALKWILL_DEG = 20.0

TABLES = sorted(path.stem for path in published.FOLDER.glob("*.csv"))
SIDES = {"working": "right", "balancing": "left"}  # of a right excursion


def within(row, column, factor=1.0):
    """What a column of the row expects, within the tolerance of the row."""
    return pytest.approx(number(row, column), abs=number(row, "tolerance") * factor, rel=0.0)


def matches(row, column, found, factor=1.0):
    """Whether a finding is what the row expects; a row may leave columns open."""
    return number(row, column) is None or found == within(row, column, factor)


def movement_matches(row, point, movement):
    expected = [number(row, f"{point}_d{axis}_mm") for axis in "xyz"]
    if None in expected:
        return expected == [None, None, None]
    return movement == pytest.approx(expected, abs=number(row, "tolerance"), rel=0.0)


# The tables themselves


def test_every_table_of_the_folder_is_used_by_a_test():
    tests = Path(__file__).resolve().parents[1].rglob("test_*.py")
    text = "\n".join(path.read_text(encoding="utf-8") for path in tests)

    assert [name for name in TABLES if f'"{name}"' not in text] == []


@pytest.mark.parametrize("name", TABLES)
def test_every_row_says_where_it_comes_from_how_that_was_read_and_how_near_is_near(name):
    for row in published.table(name):
        assert row["source"], row["id"]
        assert row["mark"] in published.MARKS, row["id"]
        assert number(row, "tolerance") >= 0.0, row["id"]
        assert row["tolerance_reason"], row["id"]
        assert None not in row, f"{row['id']} has more cells than the table has columns"
        assert None not in row.values(), f"{row['id']} has too few cells"


@pytest.mark.parametrize("name", TABLES)
def test_no_two_rows_of_a_table_have_the_same_name(name):
    names = [row["id"] for row in published.table(name)]

    assert [one for one in names if names.count(one) > 1] == []


@pytest.mark.parametrize("name", TABLES)
def test_a_row_is_named_in_words_and_not_by_a_number_of_some_list(name):
    names = [row["id"] for row in published.table(name)]

    assert [one for one in names if re.match(r"[A-Z]{1,2}\d+[a-z]?\b", one)] == []


@pytest.mark.parametrize("name", TABLES)
def test_own_computation_is_never_passed_off_as_a_source(name):
    for row in published.table(name):
        own = row["source"].startswith("own computation") or "worked out on" in row["source"]
        assert own is (row["mark"] == "COMPUTED"), row["id"]


@pytest.mark.parametrize("name", TABLES)
def test_no_row_claims_to_be_read_better_than_its_source(name):
    # A formula may be read, and what is worked out by it computed.
    best_first = ["read", "quoted", "recalled"]
    for row in published.table(name):
        mark, source = published.HOW_READ[row["mark"]], published.how_read(row["key"])
        if mark in best_first:
            assert best_first.index(mark) >= best_first.index(source), row["id"]
        else:
            assert mark == source or mark == "computed", row["id"]


# Movement


@published.each("golden_movements")
def test_golden_movements_on_the_test_geometry(row):
    bench = symmetric(
        *(number(row, "inclination_deg"), number(row, "table_deg")),
        bennett=number(row, "bennett_deg"),
        shift=number(row, "shift_mm"),
        wing=number(row, "wing_deg"),
        table_on=row["table_on"],
    )
    found = at(bench, Move(row["excursion"], 3.0))
    right = moved(found, tooth(M1)), moved(found, tooth(M1, "left")), moved(found, tooth(M2))

    assert movement_matches(row, "incisal", moved(found, INCISAL))
    for point, movement in zip(("m1_working", "m1_balancing", "m2_working"), right, strict=True):
        assert movement_matches(row, point, movement)
        # Angles are printed to 0.001 deg, and 0.0005 mm of 3 mm is 0.01 deg.
        expected = number(row, f"{point}_deg")
        assert expected is None or motion.path_angle_deg(movement) == pytest.approx(
            expected, abs=0.002
        )
    assert matches(row, "hinge_deg", found.hinge_deg)
    assert matches(row, "condyle_dy_mm", found.condyle_right_mm[1] + 55.0)


def test_a_row_with_side_shift_starts_from_its_condyle_shifted_at_no_travel():
    bench = symmetric(20, 20, bennett=15, shift=0.5, wing=20)
    found = at(bench, Move("right", 0.0))

    assert found.condyle_right_mm == pytest.approx((0.0, -55.5, 0.0), abs=1e-9)


@published.each("worked_movements")
def test_worked_movements_of_an_articulator_with_unequal_sides(row):
    bench = Bench(
        inclination_right=35.0,
        inclination_left=25.0,
        bennett_right=8.0,
        bennett_left=12.0,
        shift_left=number(row, "shift_left_mm"),
        table=15.0,
        wing_right=20.0,
        wing_left=10.0,
        table_on=row["table_on"],
        pin=(number(row, "pin_x_mm"), 0.0, number(row, "pin_z_mm")),
        opening=number(row, "pin_opening_mm"),
    )
    travel, blend = number(row, "travel_mm"), number(row, "blend")
    found = at(bench, Move(row["excursion"], travel, row["along"], blend))

    assert matches(row, "hinge_deg", found.hinge_deg)
    assert movement_matches(row, "incisal", moved(found, INCISAL))
    assert movement_matches(row, "m1_right", moved(found, tooth(M1)))
    assert movement_matches(row, "m1_left", moved(found, tooth(M1, "left")))
    assert movement_matches(row, "upper_m1_right", moved(found, tooth(M1), member="upper"))


def test_three_millimetres_along_the_path_are_2_6698_forward():
    # From the worked movements: inclination 25 and Bennett 12 of the leading left condyle.
    bench = Bench(
        inclination_right=35.0, inclination_left=25.0, bennett_right=8.0, bennett_left=12.0
    )
    found = at(bench, Move("right", 3.0, "path"))

    assert found.advance_mm == pytest.approx(2.6698, abs=5e-5)


@published.each("disclusion")
def test_path_angle_and_disclusion_of_a_first_or_second_molar(row):
    bench = symmetric(
        *(number(row, "condylar_inclination_deg"), number(row, "incisal_table_deg")),
        bennett=number(row, "bennett_deg"),
        wing=number(row, "lateral_wing_deg"),
        table_on=row["table_on"],
    )
    name, side = row["point"].split()
    point = tooth({"M1": M1, "M2": M2}[name], SIDES[side])
    movement = moved(at(bench, Move(row["excursion"], 3.0, "path")), point)

    if row["path_angle_deg"]:
        assert motion.path_angle_deg(movement) == within(row, "path_angle_deg")
    else:
        gap = motion.facet_gap_mm(movement, number(row, "cusp_deg"))
        assert gap == within(row, "disclusion_mm")


@published.each("first_order")
def test_what_a_setting_one_step_higher_changes_at_four_teeth(row):
    bench = symmetric(30, 20, bennett=10, wing=20)
    protrusive = row["side"] == "protrusive"
    side = "right" if protrusive else SIDES[row["side"]]
    move = Move("protrusive" if protrusive else "right", 3.0)
    points = [tooth(place, side) for place in (CANINE, PM1, M1, M2)]

    def drops(settings):
        found = motion.lower_position(settings=settings, excursion=excursion_of(move))
        return -motion.landmark_movement(found, points)[:, 2]

    change = spread.forward_difference(
        drops,
        settings=settings_of(bench),
        quantity=row["quantity"],
        step=number(row, "step"),
    )

    for place, found in zip(
        ("canine", "first_premolar", "first_molar", "second_molar"), change, strict=True
    ):
        assert found == within(row, f"{place}_mm")


# Textbook formulas


@published.each("lateral_estimate")
def test_estimate_of_the_lateral_condylar_angle(row):
    found = curves.lateral_inclination_estimate_deg(
        condylar_inclination_deg=number(row, "condylar_inclination_deg")
    )

    assert found == within(row, "lateral_deg")


def test_the_estimate_for_33_deg_is_not_the_15_deg_that_is_often_copied():
    found = curves.lateral_inclination_estimate_deg(condylar_inclination_deg=33.0)

    assert found == pytest.approx(16.125, abs=1e-9)


@published.each("bonwill_height")
def test_height_of_the_triangle(row):
    assert curves.bonwill_height_mm(side_mm=number(row, "side_mm")) == within(row, "height_mm")


@published.each("christensen")
def test_christensen_angle_and_the_gap_between_flat_rims(row):
    angle = curves.christensen_angle_deg(
        condylar_inclination_deg=number(row, "condylar_inclination_deg"),
        advance_mm=number(row, "advance_mm"),
        height_mm=G2_HEIGHT_MM,
        balkwill_deg=number(row, "balkwill_deg"),
        incisal_table_deg=number(row, "incisal_table_deg"),
    )

    assert angle == within(row, "angle_deg")
    for behind in (30, 40, 50):
        gap = curves.christensen_distance_mm(angle_deg=angle, behind_mm=float(behind))
        assert matches(row, f"gap_{behind}_mm", gap)


@published.each("path_angles")
def test_path_angle_of_a_tooth_exactly_and_as_the_textbook_estimates_it(row):
    given = {
        "condylar_inclination_deg": number(row, "condylar_inclination_deg"),
        "incisal_table_deg": number(row, "incisal_table_deg"),
        "behind_mm": number(row, "behind_mm"),
        "height_mm": G2_HEIGHT_MM,
        "balkwill_deg": G2_BALKWILL_DEG,
    }
    exact, linear = curves.path_angle_exact_deg(**given), curves.path_angle_linear_deg(**given)

    assert exact == within(row, "exact_deg")
    assert linear == within(row, "linear_deg")
    # 33/0 at 40 mm is the worst of the table: 1.74.
    assert -1e-9 <= linear - exact <= 1.75


# The pin


@published.each("pin_ratios")
def test_opening_at_molar_and_incisors_for_an_opening_at_the_pin(row):
    opening = number(row, "pin_opening_mm")
    inch = 25.4
    for place, inches in (("second_molar_mm", 2), ("incisors_mm", 4)):
        found = pin.straight_line_mm(
            opening_mm=opening, distance_mm=inches * inch, pin_distance_mm=6 * inch
        )
        assert found == within(row, place)


@published.each("pin_ratios", kind="exact")
def test_the_exact_ratios_hold_for_a_turn_about_the_axis_at_the_height_of_the_axis(row):
    inch = 25.4
    opened = pin.open_pin(
        settings=settings_of(Bench(pin=(6 * inch, 0.0, 0.0))),
        opening_mm=number(row, "pin_opening_mm"),
        points_mm={"molar": (2 * inch, -28.0, 0.0), "incisors": (4 * inch, 0.0, 0.0)},
    )

    assert opened.drop_mm["molar"] == within(row, "second_molar_mm")
    assert opened.drop_mm["incisors"] == within(row, "incisors_mm")


@published.each("pin_openings")
def test_how_far_an_opened_pin_lowers_a_tooth_and_carries_it_back(row):
    opened = pin.open_pin(
        settings=settings_of(Bench()),
        opening_mm=number(row, "opening_mm"),
        points_mm={"here": (number(row, "x_mm"), 0.0, -32.0)},
    )

    assert matches(row, "drop_mm", opened.drop_mm["here"])
    assert matches(row, "back_mm", opened.back_mm["here"])


@published.each("flat_rims")
def test_a_single_tip_that_is_too_low_lifts_the_pin(row):
    tip_x, too_low = number(row, "tip_x_mm"), number(row, "too_low_mm")
    tip = (tip_x, number(row, "tip_y_mm"), -32.0 - too_low)
    found = pin.pin_rise(pin_point_mm=INCISAL, lower_rim_z_mm=-32.0, upper_tips_mm=[tip])

    assert found.pin_rise_mm == within(row, "pin_rise_mm")
    assert found.grind_to_close_mm == pytest.approx((too_low,), abs=1e-12)
    assert too_low * 80.0 / tip_x == within(row, "straight_line_mm")


@published.each("wrong_axis")
def test_what_a_wrong_axis_leaves_of_a_record(row):
    found = pin.wrong_axis(
        record_point_mm=(number(row, "record_x_mm"), number(row, "record_z_mm")),
        record_mm=number(row, "record_mm"),
        axis_error_mm=(number(row, "error_x_mm"), number(row, "error_z_mm")),
        watched_point_mm=(50.0, -35.0),
    )

    assert matches(row, "theta_deg", found.theta_deg)
    assert matches(row, "residual_x_mm", found.residual_mm[0])
    assert matches(row, "residual_z_mm", found.residual_mm[1])
    assert found.forward_shift_mm == within(row, "forward_shift_mm")


# Height budget


@published.each("site_budgets")
def test_height_budget_of_a_site(row):
    found = space.site_budget(
        tooth="16",
        space_mm=number(row, "space_mm"),
        base_min_mm=number(row, "base_min_mm"),
        relief_mm=number(row, "relief_mm"),
        tooth_height_mm=number(row, "tooth_height_mm"),
        shell_over_fossa_mm=number(row, "shell_over_fossa_mm"),
        shell_min_mm=number(row, "shell_min_mm"),
        approved_raise_mm=number(row, "approved_raise_mm"),
        pin_ratio=number(row, "pin_ratio"),
    )

    for name in ("hollow_mm", "occlusal_budget_mm", "shell_left_mm", "short_by_mm"):
        assert getattr(found, name) == within(row, name)
    assert found.fits is (number(row, "short_by_mm") == 0.0)
