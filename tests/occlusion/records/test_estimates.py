"""Estimates of textbooks beside what is published and what is exact."""

import pytest

from occlusion.errors import BadRequest, NotANumber, OutOfRange
from occlusion.records.estimates import (
    PATH_FLATTENS_DEG,
    PUBLISHED,
    compare_with_published,
    lateral_estimate,
    tooth_path_estimates,
)
from occlusion.sources import SOURCES
from tests import published
from tests.published import number

# Published figures


@published.each("published_settings")
def test_a_published_figure_is_kept_as_it_was_found(row):
    found = [
        one
        for one in PUBLISHED
        if (one.quantity, one.source, one.kind) == (row["quantity"], row["key"], row["kind"])
    ]

    assert len(found) == 1
    (one,) = found
    assert (one.low, one.high) == (number(row, "low"), number(row, "high"))
    assert (one.sd, one.people) == (number(row, "sd"), number(row, "people"))
    assert one.plane == row["plane"]
    assert SOURCES[one.source].how_read == published.HOW_READ[row["mark"]]


def test_no_figure_is_kept_that_no_table_holds():
    assert len(PUBLISHED) == len(published.table("published_settings"))


@published.each("path_curvature")
def test_real_paths_flatten_as_they_were_found_to(row):
    assert (
        number(row, "travel_mm"),
        number(row, "inclination_deg"),
        number(row, "sd_deg"),
    ) in PATH_FLATTENS_DEG
    assert SOURCES["angle_class_thai"].how_read == published.HOW_READ[row["mark"]]


# The lateral estimate


@published.each("estimate_beside_means")
def test_the_estimate_is_far_off_the_mean_of_those_who_were_measured(row):
    found = lateral_estimate(condylar_inclination_deg=number(row, "condylar_inclination_deg"))
    (mean,) = [
        one for one in PUBLISHED if (one.quantity, one.source) == ("bennett_deg", row["key"])
    ]

    assert mean.low == mean.high == number(row, "mean_deg")
    assert found.value_deg - mean.low == pytest.approx(
        number(row, "too_much_deg"), abs=number(row, "tolerance")
    )


def test_the_estimate_is_called_one_and_stands_beside_what_was_measured():
    # At the mean inclination of 50 people it gives 7.1 deg more than their mean Bennett angle.
    found = lateral_estimate(condylar_inclination_deg=41.66)

    assert found.value_deg == pytest.approx(17.2075, abs=1e-9)
    assert found.sentences[0] == (
        "H/8 + 12 estimate: 17.2 deg for 41.66 deg of condylar inclination. An estimate from the "
        "protrusive angle, not a measurement of this patient."
    )
    assert found.sentences[1] == (
        "Bennett angle of 17.21 deg: published means are 7.3 to 12.8 deg, this is 4.41 deg above "
        "the greatest. A mean says nothing of one patient."
    )
    (beside,) = [text for text in found.sentences if "Ghodsi" in text]
    assert beside.endswith("; read. This value is 7.11 deg more.")


def test_a_prescribed_fifteen_agrees_with_the_estimate_of_twenty_to_half_a_degree():
    found = lateral_estimate(condylar_inclination_deg=20)

    assert abs(found.value_deg - 15.0) <= 0.5
    assert found.condylar_inclination_deg == 20


def test_no_estimate_is_made_of_what_no_articulator_has():
    with pytest.raises(OutOfRange):
        lateral_estimate(condylar_inclination_deg=76)


# Comparisons


def test_a_value_among_the_means_is_said_to_be():
    told = compare_with_published("condylar_inclination_deg", 33)

    assert told[0] == (
        "Condylar inclination of 33 deg: published means are 31.5 to 44.7 deg, this is within "
        "them. A mean says nothing of one patient."
    )
    assert len(told) == 7
    assert told[6].startswith("A real path is curved: mean 45.7, 44.8, 43.7 deg at 1, 2, 3 mm")
    assert "Assumed, not measured 33 deg: " in told[5]
    assert told[5].endswith("; as quoted elsewhere.")


def test_a_value_below_them_is_told_by_how_much_and_where_it_would_be_rare():
    told = compare_with_published("condylar_inclination_deg", 20)

    assert "this is 11.5 deg below the least" in told[0]
    assert told[1].endswith("This value is 11.5 deg less.")
    assert told[4].endswith("This value would be rare in that group.")
    # 44.7 less two standard deviations of 8.8 is 27.1.
    assert "rare" not in compare_with_published("condylar_inclination_deg", 27.2)[4]


def test_a_single_mean_is_no_span():
    told = compare_with_published("intercondylar_mm", 110)

    assert "published means are 96 mm, this is 14 mm above the greatest" in told[0]
    assert told[3].startswith("Single persons 97 to 138 mm, 149 people: ")
    assert told[3].endswith("; as quoted elsewhere.")


def test_figures_from_memory_say_so():
    told = compare_with_published("immediate_side_shift_mm", 0)

    assert next(text for text in told if "1986" in text).endswith(
        "; from memory. This value is 0.42 mm less."
    )


def test_only_known_quantities_and_numbers_are_compared():
    with pytest.raises(BadRequest, match="Choose one of: condylar_inclination_deg, bennett_deg"):
        compare_with_published("incisal_table_deg", 20)
    with pytest.raises(NotANumber):
        compare_with_published("bennett_deg", float("nan"))


# The linear proportion


def path(inclination, table, behind=40.0):
    return tooth_path_estimates(
        condylar_inclination_deg=inclination,
        incisal_table_deg=table,
        behind_mm=behind,
        height_mm=86.60254,
        balkwill_deg=20,
    )


def test_the_linear_proportion_stands_beside_the_exact_path_which_is_advised():
    found = path(33, 0)

    assert found.exact_deg == pytest.approx(14.48, abs=0.005)
    assert found.linear_deg == pytest.approx(16.22, abs=0.005)
    assert found.difference_deg == pytest.approx(1.744, abs=0.001)
    assert found.advise_deg == found.exact_deg
    assert found.sentence == (
        "The tooth sets off at 14.5 deg; the linear proportion of textbooks reads 1.7 deg "
        "steeper. Set by the exact angle."
    )


def test_equal_ends_agree_and_a_steeper_table_turns_the_difference_round():
    assert path(20, 20).difference_deg == pytest.approx(0, abs=1e-9)
    assert "reads the same." in path(20, 20).sentence
    assert path(10, 40).difference_deg < 0
    assert "flatter. Set by the exact angle." in path(10, 40).sentence


def test_angles_beyond_their_limits_are_refused():
    with pytest.raises(OutOfRange):
        path(80, 0)
    with pytest.raises(OutOfRange):
        path(30, 61)
