"""Widths of front teeth: ranges with a weight, and the patient's own teeth before all."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from occlusion.errors import BadRequest, NotANumber, OutOfRange
from occlusion.selection import Measures, anterior_widths, measure_warnings, proposals
from occlusion.selection.anterior import FORMULAS, NATURAL
from occlusion.sources import HOW_READ, SOURCES
from tests import published
from tests.published import number

SIX = {"13": 7.6, "12": 6.6, "11": 8.6, "21": 8.4, "22": 6.8, "23": 7.8}


def only(measures, quantity):
    (found,) = [one for one in anterior_widths(measures) if one.quantity == quantity]
    return found


def proposal(measures, quantity="width of a central incisor"):
    (found,) = [one for one in proposals(anterior_widths(measures)) if one.quantity == quantity]
    return found


@published.each("front_tooth_estimates")
def test_a_formula_gives_the_worked_value_inside_a_range(row):
    found = only(Measures(**{row["measure"]: number(row, "measured_mm")}), row["quantity"])

    assert found.value == pytest.approx(
        number(row, "value_mm"), abs=number(row, "tolerance"), rel=0.0
    )
    assert found.low < found.value < found.high


@published.each("front_tooth_means")
def test_a_range_holds_the_mean_that_was_measured_on_people(row):
    found = only(Measures(**{row["measure"]: number(row, "measured_mm")}), row["quantity"])

    assert found.low <= number(row, "mean_mm") <= found.high


def test_the_range_from_the_inner_eye_corners_is_two_deviations_of_the_teeth():
    # 8.87 +- 0.5 mm in 120 men.
    found = only(Measures(inner_canthal_mm=28.7), "width of a central incisor")

    assert found.high - found.value == pytest.approx(1.0, abs=0.03)
    assert found.value - found.low == pytest.approx(1.0, abs=0.03)


def test_the_length_of_a_face_is_divided_by_16_and_by_20():
    found = only(Measures(face_length_mm=176), "length of a central incisor")

    assert found.low == pytest.approx(8.8, abs=1e-9)
    assert found.value == pytest.approx(11.0, abs=1e-9)
    assert found.high > 11.0


def test_every_formula_says_how_it_was_read_and_what_it_is_worth():
    measures = Measures(
        inner_canthal_mm=29,
        interpupillary_mm=62,
        bizygomatic_mm=135,
        interalar_mm=35,
        face_length_mm=180,
        head_circumference_mm=570,
        canine_lines_mm=46,
        hamular_notch_mm=43,
    )
    found = anterior_widths(measures)

    assert len(found) == len(FORMULAS) == 9
    assert [one.weight for one in found] == [0.5, 0.4, 0.3, 0.2, 0.2, 0.2, 0.1, 0.1, 0.1]
    for one in found:
        assert SOURCES[one.source].how_read == one.how_read
        assert one.how_read in HOW_READ
        assert f"{one.low:.1f} to {one.high:.1f} mm" in one.sentence
    assert measure_warnings(measures) == ()


def test_with_nothing_measured_nothing_is_proposed():
    assert anterior_widths(Measures()) == []
    assert proposals([]) == []


def test_teeth_from_before_the_extraction_outrank_every_formula():
    found = proposal(Measures(natural_widths_mm=SIX, bizygomatic_mm=160, inner_canthal_mm=28.7))

    assert (found.low, found.high) == pytest.approx((8.2, 8.8))
    assert found.names == (NATURAL,)
    assert set(found.outranked) == {"face width", "inner eye corners"}
    assert found.apart == ("inner eye corners", "face width")
    assert "Set aside, because the patient's own teeth are known" in found.sentence
    assert anterior_widths(Measures(natural_widths_mm=SIX, inner_canthal_mm=30))[0].name == NATURAL


def test_six_teeth_add_up_with_the_error_of_six_readings():
    found = proposal(Measures(natural_widths_mm=SIX), "width of the six front teeth")

    # 45.8 mm, and 0.2 mm times the root of six.
    assert (found.low, found.high) == pytest.approx((45.310, 46.290), abs=1e-3)


def test_one_side_is_counted_twice_and_trusted_less():
    right = {tooth: SIX[tooth] for tooth in ("11", "12", "13")}
    found = only(Measures(natural_widths_mm=right), "width of the six front teeth")

    # 2 x 22.8 mm, 0.4 mm times the root of three and 0.5 mm for the other side.
    assert (found.low, found.high) == pytest.approx((44.407, 46.793), abs=1e-3)
    assert "One side was measured and counted twice." in found.sentence


def test_teeth_that_do_not_make_a_side_say_nothing_of_all_six():
    found = anterior_widths(Measures(natural_widths_mm={"11": 8.6, "12": 6.6, "23": 7.8}))

    assert [one.quantity for one in found] == ["width of a central incisor"]


def test_where_the_teeth_were_measured_is_told():
    on_cast = anterior_widths(Measures(natural_widths_mm={"11": 8.6}))[0]
    on_teeth = anterior_widths(Measures(natural_widths_mm={"21": 8.6}, natural_from="teeth"))[0]

    assert on_cast.sentence.startswith("From 1 tooth of a cast from before the extraction:")
    assert on_teeth.sentence.startswith("From 1 tooth of the teeth themselves:")


def test_ranges_are_put_together_by_their_weight():
    measures = Measures(inner_canthal_mm=28.7, bizygomatic_mm=136)
    found = proposal(measures)

    # (0.5 x 8.8683 + 0.2 x 8.5) / 0.7 = 8.763, with ranges of 11.5 and 12 %.
    assert found.low == pytest.approx(7.743, abs=1e-3)
    assert found.high == pytest.approx(9.783, abs=1e-3)
    assert found.outranked == ()


def test_a_measure_that_disagrees_is_named():
    found = proposal(Measures(inner_canthal_mm=24.0, bizygomatic_mm=170, interpupillary_mm=52))

    assert "face width" in found.apart
    assert "Outside of this range: face width" in found.sentence


widths = st.floats(24.0, 35.0), st.floats(115.0, 155.0), st.floats(52.0, 74.0)


@given(*widths)
def test_a_proposal_stays_within_the_ranges_that_made_it(corners, face, pupils):
    measures = Measures(inner_canthal_mm=corners, bizygomatic_mm=face, interpupillary_mm=pupils)
    made_of = [
        one for one in anterior_widths(measures) if one.quantity == "width of a central incisor"
    ]
    found = proposal(measures)

    assert min(one.low for one in made_of) <= found.low + 1e-9
    assert found.high <= max(one.high for one in made_of) + 1e-9
    assert found.high - found.low > 1.0


@given(st.floats(24.0, 34.0), st.floats(0.1, 5.0))
def test_a_larger_face_never_proposes_smaller_teeth(corners, more):
    small, large = (
        proposal(Measures(inner_canthal_mm=value)) for value in (corners, corners + more)
    )

    assert large.low > small.low
    assert large.high > small.high


def test_what_is_unusual_warns_and_what_is_impossible_is_refused():
    warnings = measure_warnings(Measures(bizygomatic_mm=160, natural_widths_mm={"11": 3.5}))

    assert [one.code for one in warnings] == ["bizygomatic_unusual", "crown_width_11_unusual"]
    with pytest.raises(OutOfRange, match="Enter 80 to 200 mm"):
        Measures(bizygomatic_mm=13.6)
    with pytest.raises(NotANumber):
        Measures(interalar_mm="35")
    with pytest.raises(BadRequest, match="no upper front tooth"):
        Measures(natural_widths_mm={"14": 7.0})
    with pytest.raises(BadRequest, match="no upper front tooth"):
        Measures(natural_widths_mm={"41": 5.0})
    with pytest.raises(BadRequest, match="teeth, cast"):
        Measures(natural_widths_mm={"11": 8.6}, natural_from="hearsay")
