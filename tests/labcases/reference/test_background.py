"""Figures behind the work, row by row, and that none of them became a forecast on a page."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest

from labcases.domain import curing as times
from labcases.reference import background, curing, read
from occlusion.ranges import LIMITS

D = Decimal

#: Key, figure or range, unit, and how the source was read.
ROWS = """
ridge_lower_13_years      7.7        mm      R2
ridge_upper_13_years      2.2        mm      R2
ridge_lower_later         1.4        mm      R2
ridge_upper_later         0.4        mm      R2
ridge_lower_7_years       6.3        mm      COMP
ridge_upper_7_years       1.8        mm      COMP
ridge_lower_25_years      9-10       mm      R2
ridge_upper_25_years      2.5-3      mm      R2
ridge_fastest             3-6        months  R
ridge_width               50         %       R
ridge_thin_wall           7.5        mm      MM
ridge_thick_wall          1.1        mm      MM
base_palate               2-2.5      mm      MM
base_flange               2-3        mm      MM
base_least                1.5        mm      MM
base_tested               1.6-2.5    mm      R
monomer_boils             100.8      C       R2
resin_peak                120-130    C       R2
long_cycle_manuals        72.8-73.9  C       MM
powder_to_liquid          3          parts   R2
powder_to_liquid_tested   1.80-2.22  parts   R
too_long_in_the_press     12         h       R
monomer_left_hot          0.2-0.7    %       R
monomer_left_pressure     2-3        %       R
monomer_left_cold         3-5        %       R2
monomer_limit_hot         2.2        %       R2
monomer_limit_cold        4.5        %       MM
water_taken_up            0.48-0.50  %       R
"""
TABLE = [line.split() for line in ROWS.strip().splitlines()]
FACTS = background.facts()


@pytest.mark.parametrize(("key", "figure", "unit", "mark"), TABLE, ids=[row[0] for row in TABLE])
def test_a_row_has_its_figure_and_its_mark(key, figure, unit, mark):
    low, _, high = figure.partition("-")
    one = FACTS[key]

    assert (one.low, one.high) == (D(low), D(high or low))
    assert (one.unit, one.mark) == (unit, mark)
    assert one.source


def test_there_are_no_other_rows_and_every_source_is_used():
    assert list(FACTS) == [row[0] for row in TABLE]
    told = read("background.toml")
    assert {row["source"] for row in told["rows"]} == set(told["sources"])
    assert {one.mark for one in FACTS.values()} <= set(background.MARKS)


@pytest.mark.parametrize(("arch", "early"), [("lower", "6.3"), ("upper", "1.8")])
def test_the_first_seven_years_are_what_is_left_of_the_whole(arch, early):
    whole, later = FACTS[f"ridge_{arch}_13_years"].low, FACTS[f"ridge_{arch}_later"].low
    assert whole - later == D(early)


def test_the_lower_ridge_lost_three_and_a_half_times_as_much():
    assert FACTS["ridge_lower_13_years"].low / FACTS["ridge_upper_13_years"].low == D("3.5")


def test_no_sentence_for_the_chair_or_the_patient_forecasts_a_ridge_in_millimetres():
    words = " ".join(
        Path(curing.__file__).with_name(name).read_text(encoding="utf-8")
        for name in ("reviews.toml", "delivery.toml")
    )
    said = [one for one in re.findall(r'"[^"]*"', words) if re.search(r"ridge|bone", one)]
    assert said
    assert [one for one in said if " mm" in one] == []


def test_the_limits_of_a_base_are_those_that_are_usual():
    limit = LIMITS["base_min_mm"]
    assert D(str(limit.usual_low)) == FACTS["base_least"].low
    assert D(str(limit.usual_high)) == FACTS["base_flange"].high


def test_the_warning_of_boiling_comes_before_the_monomer_boils():
    assert curing.boiling_celsius() < FACTS["monomer_boils"].low


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(163, "72.8"), (165, "73.9")])
def test_fahrenheit_of_the_manuals(fahrenheit, celsius):
    assert abs(times.fahrenheit(D(celsius)) - fahrenheit) < D("0.1")
