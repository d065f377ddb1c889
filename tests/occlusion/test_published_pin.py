"""Pin, axis and vertical against the rows of fixtures/published that are theirs."""

import math
import re

import pytest

from occlusion import axis, curves, pin, readings, vertical
from occlusion.ranges import usual
from tests import published
from tests.occlusion.bench import INCISAL, M2, settings_of, tooth
from tests.occlusion.second_opinion import Bench
from tests.published import number

INCH = 25.4
MOLAR, INCISOR = (50.0, 0.0, -35.0), (90.0, 0.0, -40.0)


def within(row, column):
    return pytest.approx(number(row, column), abs=number(row, "tolerance"), rel=0.0)


@published.each("axis_positions")
def test_where_the_axis_stands_for_a_balkwill_angle(row):
    forward, up = curves.axis_position_mm(
        height_mm=number(row, "height_mm"), balkwill_deg=number(row, "balkwill_deg")
    )

    assert (up, forward) == (within(row, "up_mm"), within(row, "forward_mm"))


@published.each("straight_pins")
def test_what_a_straight_pin_on_a_tilted_table_really_opens(row):
    found = readings.straight_pin(
        settings=settings_of(Bench(table=number(row, "table_deg"))),
        reading_mm=number(row, "reading_mm"),
        bench=row["bench"],
    )

    assert found.opening_mm == within(row, "opening_mm")


@published.each("tooth_openings")
def test_drop_and_gap_of_a_tooth_apart(row):
    (found,) = pin.opening_at_teeth(
        settings=settings_of(Bench()),
        opening_mm=number(row, "opening_mm"),
        points_mm={"17": (number(row, "x_mm"), -28.0, -32.0)},
        incline_deg=number(row, "incline_deg"),
    )

    for name in ("drop_mm", "back_mm", "gap_mm", "normal_gap_mm", "other_gap_mm"):
        assert getattr(found, name) == within(row, name), name


def straight_line(value, inches, from_inches=6):
    return pin.straight_line_mm(
        opening_mm=value, distance_mm=inches * INCH, pin_distance_mm=from_inches * INCH
    )


def correction(inches):
    (found,) = readings.correction_depths(
        pin_rise_mm=1.0,
        settings=settings_of(Bench(pin=(6 * INCH, 0.0, 0.0))),
        teeth_mm={"17": (inches * INCH, 0.0, 0.0)},
    )
    return found.straight_line_mm


def per_degree(advance):
    """Separation of flat rims 40 mm behind the incisors for one degree, from 20 to 30 deg."""
    gaps = [
        curves.christensen_distance_mm(
            behind_mm=40.0,
            angle_deg=curves.christensen_angle_deg(
                condylar_inclination_deg=inclination,
                advance_mm=advance,
                height_mm=curves.bonwill_height_mm(side_mm=100.0),
                balkwill_deg=20.0,
            ),
        )
        for inclination in (20.0, 30.0)
    ]
    return (gaps[1] - gaps[0]) / 10.0


FIGURES = {
    "growth_pct": lambda g: min(vertical.VERTICAL_AFTER_PROCESSING_PCT, key=lambda v: abs(v - g)),
    "growth_least_mm": lambda g: vertical.growth_after_processing_mm(occlusal_vertical_mm=g)[0],
    "growth_most_mm": lambda g: vertical.growth_after_processing_mm(occlusal_vertical_mm=g)[1],
    "contacts": lambda g: vertical.CONTACTS_AFTER_FAST_CURING[int(g)],
    "shrinkage_seen_pct": lambda g: vertical.shrinkage_seen_mm(width_mm=100)[int(g)],
    "dough_pct": lambda g: vertical.DOUGH_SHRINKAGE_PCT[int(g)],
    "monomer_pct": lambda g: vertical.MONOMER_SHRINKAGE_PCT + g,
    "linear_pct": lambda g: vertical.linear_shrinkage_pct(volume_pct=g),
    "shrinkage_at_half_pct_mm": lambda g: vertical.shrinkage_over_mm(width_mm=g, linear_pct=0.5),
    "base_fit_mm": lambda g: vertical.BASE_FIT_MM[int(g)],
    "freeway_mean_mm": lambda g: vertical.FREEWAY_MEANS_MM[g],
    "foil_mm": lambda g: vertical.FOIL_MM + g,
    "noticed_mm": lambda g: (vertical.NOTICED_MM, vertical.NOTICED_SPREAD_MM)[int(g)],
    "tilt_at_23_mm": lambda g: vertical.tilt_at_mm(tilt_deg=g, span_mm=23),
    "per_degree_mm": per_degree,
    "pin_half_mm": lambda g: straight_line(g, 2),
    "correction_mm": correction,
}


@published.each("vertical_figures")
def test_figures_of_vertical_and_processing(row):
    given = row["given"] if row["quantity"] == "freeway_mean_mm" else number(row, "given")

    assert FIGURES[row["quantity"]](given) == pytest.approx(
        number(row, "expected"), abs=number(row, "tolerance") + 1e-12, rel=0.0
    )


BANDS = {
    "freeway": lambda g: (
        vertical.freeway_space(resting_vertical_mm=65 + g, occlusal_vertical_mm=65).band
    ),
    "speaking": lambda g: vertical.closest_speaking_space(measured_mm=g).band,
    "rise": lambda g: vertical.processing_rise(pin_rise_mm=g).grade,
    "foil": lambda g: vertical.foil_holds(gap_mm=g),
    "mark": lambda g: vertical.mark_of(gap_mm=g),
    "mark_in_wax": lambda g: vertical.mark_of(gap_mm=g, in_wax=True),
}


@published.each("vertical_bands")
def test_bands_on_both_sides_of_each_limit(row):
    assert BANDS[row["quantity"]](number(row, "given")) == row["expected"]


def molar_shift(record):
    return axis.axis_error_at(tooth_mm=MOLAR, record_mm=record, record_at_mm=INCISOR)


def opened_ratio():
    found = pin.open_pin(settings=settings_of(Bench()), opening_mm=1.0, points_mm={"17": tooth(M2)})
    return 1.0 / found.drop_mm["17"]


def told(index):
    """A figure of the sentence on what the group of 2011 found."""
    (text,) = [text for text, source in molar_shift(2.0).notes if "same group 2011" in source]
    return float(re.findall(r"\d+\.\d+", text)[index])


SPANS = {
    "axis_to_incisal_mm": lambda: math.hypot(INCISAL[0], INCISAL[2]),
    "incisors_to_molar": lambda: straight_line(1.0, 4, 2),
    "pin_to_molar": lambda: straight_line(1.0, 6, 2),
    "g1_ratio": opened_ratio,
    "warns_at_6_mm": lambda: float(usual("pin_opening_mm", 6.0) is not None),
    "warns_at_9_mm": lambda: float(usual("pin_opening_mm", 9.0) is not None),
    "greatest_at_2_mm": lambda: molar_shift(2.0).greatest_shift_mm,
    "share_below_0_3": lambda: axis.SPREAD_AT_2_MM[0][2],
    "share_below_0_5": lambda: axis.SPREAD_AT_2_MM[1][2],
    "share_above_0_5": lambda: axis.SPREAD_AT_2_MM[2][2],
    "off_in_ten_mm": lambda: told(0),
    "off_at_17_mm": lambda: told(1),
    "off_at_25_mm": lambda: told(2),
    "shift_up_at_2_mm": lambda: molar_shift(2.0).by_direction["up"].forward_shift_mm,
    **{f"axis_found_{index}": lambda index=index: axis.AXIS_FOUND[index][2] for index in range(6)},
}


@published.each("axis_figures")
def test_axis_and_ratios_lie_where_they_were_found(row):
    slack = 1e-9  # round-off where both ends are one number

    assert number(row, "low") - slack <= SPANS[row["quantity"]]() <= number(row, "high") + slack
