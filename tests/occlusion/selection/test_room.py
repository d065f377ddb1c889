"""Room for the back teeth, crown sizes and the ratio of upper to lower teeth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from occlusion import teeth
from occlusion.errors import BadRequest, OutOfRange
from occlusion.selection import crown_size_check, posterior_room, tooth_sizes
from tests import published
from tests.published import number


def right(room, **rest):
    (found,) = posterior_room(room_mm={"right": room}, **rest)
    return found


@published.each("crown_sizes")
def test_the_crown_table_holds_what_is_printed(row):
    crown = teeth.crown(row["tooth"])

    for name in (
        *("length_mm", "mesiodistal_mm", "buccolingual_mm"),
        *("cervix_mesiodistal_mm", "cervix_buccolingual_mm"),
    ):
        assert getattr(crown, name) == number(row, name)
    assert crown.how_read == {"READ-2nd": "quoted", "MEMORY": "recalled"}[row["mark"]]
    assert row["cervix_buccolingual_mark"] in published.MARKS


@published.each("crown_sums")
def test_crowns_of_the_table_add_up(row):
    together = sum(teeth.crown(tooth).mesiodistal_mm for tooth in row["teeth"].split())

    assert together == number(row, "sum_mm")


@published.each("measured_crowns")
def test_crowns_measured_on_people_pass_the_check_of_a_quarter(row):
    printed = teeth.crown(row["tooth"]).mesiodistal_mm

    assert abs(number(row, "mesiodistal_mm") / printed - 1.0) <= number(row, "tolerance")
    assert (
        crown_size_check(
            tooth=row["tooth"],
            mesiodistal_mm=number(row, "mesiodistal_mm"),
            length_mm=number(row, "length_mm"),
        )
        == ()
    )


@pytest.mark.parametrize(
    ("size", "codes"),
    [
        ({"mesiodistal_mm": 7.5}, []),
        ({"mesiodistal_mm": 12.5}, []),
        ({"mesiodistal_mm": 7.49}, ["crown_mesiodistal_unusual"]),
        ({"mesiodistal_mm": 12.51}, ["crown_mesiodistal_unusual"]),
        ({"buccolingual_mm": 8.2}, ["crown_buccolingual_unusual"]),
        ({"length_mm": 9.4}, ["crown_length_unusual"]),
        ({}, []),
    ],
)
def test_a_first_molar_more_than_a_quarter_off_the_table_warns(size, codes):
    # Printed: 10.0 wide, 11.0 deep, 7.5 long.
    assert [one.code for one in crown_size_check(tooth="16", **size)] == codes


def test_the_warning_of_a_crown_says_what_is_usual():
    (warning,) = crown_size_check(tooth="11", mesiodistal_mm=12.0)

    assert warning.text == (
        "Mesiodistal width of 11 is 12 mm; the textbook's is 8.5 mm, and 6.4 to 10.6 mm is usual. "
        "Check the tooth number and the reading."
    )
    with pytest.raises(OutOfRange):
        crown_size_check(tooth="11", mesiodistal_mm=1.0)
    with pytest.raises(BadRequest):
        crown_size_check(tooth="19", mesiodistal_mm=9.0)


@pytest.mark.parametrize(
    ("room", "fitting"),
    [
        (33.0, ("14", "15", "16", "17")),
        (32.9, ("14", "15", "16")),
        (24.0, ("14", "15", "16")),
        (23.9, ("14", "15")),
        (7.0, ("14",)),
        (6.9, ()),
    ],
)
def test_the_last_tooth_is_left_out_rather_than_crowded(room, fitting):
    # Textbook widths 7, 7, 10 and 9 mm.
    found = right(room)

    assert found.teeth == fitting
    assert found.left_out == ("14", "15", "16", "17")[len(fitting) :]


def test_a_large_first_molar_does_not_let_the_second_one_jump_the_row():
    found = right(23.0, widths_mm={"14": 7.0, "15": 7.0, "16": 10.0, "17": 8.0})

    assert found.teeth == ("14", "15")


def test_textbook_widths_are_a_band_and_measured_ones_nearly_exact():
    book = right(33.0)
    measured = right(33.0, widths_mm={"14": 7.0, "15": 7.0, "16": 10.0, "17": 9.0})

    assert book.widths_mm["16"] == (7.5, 12.5)
    assert (book.surely, book.perhaps) == (("14", "15", "16"), ("14", "15", "16", "17"))
    assert book.spare_mm == pytest.approx((-8.75, 8.75))
    assert "textbook widths and may be a quarter off" in book.sentence
    assert measured.widths_mm["16"] == (9.9, 10.1)
    assert measured.spare_mm == pytest.approx((-0.9, 0.9))
    assert "textbook" not in measured.sentence


@pytest.mark.parametrize(
    ("room", "surely", "perhaps"), [(33.8, 3, 4), (34.0, 4, 4), (32.2, 3, 4), (32.0, 3, 3)]
)
def test_the_reading_of_the_room_counts_against_what_surely_fits(room, surely, perhaps):
    # 33 mm of measured teeth, 0.1 mm each way, and 0.5 mm of the room.
    measured = {"14": 7.0, "15": 7.0, "16": 10.0, "17": 9.0}
    found = right(room, widths_mm=measured)

    assert (len(found.surely), len(found.perhaps)) == (surely, perhaps)


def test_sides_and_arches_are_kept_apart():
    found = posterior_room(room_mm={"left": 26.0, "right": 36.0}, arch="lower")

    assert [(one.side, one.teeth) for one in found] == [
        ("right", ("44", "45", "46", "47")),
        ("left", ("34", "35", "36")),
    ]
    assert "37 left out rather than crowded" in found[1].sentence
    assert "retromolar pad" in found[0].sentence
    assert "tuberosity" in right(30.0).sentence
    assert right(5.0).sentence.startswith(
        "Right side, 5 mm from the canine to the front of the tuberosity: none of the back teeth"
    )


@given(st.floats(0.0, 60.0), st.floats(0.0, 8.0))
def test_more_room_never_holds_fewer_teeth_and_what_surely_fits_fits(room, more):
    small, large = right(room), right(room + more)

    assert len(small.teeth) <= len(large.teeth)
    assert len(small.surely) <= len(small.teeth) <= len(small.perhaps)
    assert small.teeth + small.left_out == ("14", "15", "16", "17")


def test_teeth_that_are_no_back_teeth_of_the_arch_are_refused():
    for tooth in ("13", "18", "44"):
        with pytest.raises(BadRequest, match="no upper premolar or first or second molar"):
            right(30.0, widths_mm={tooth: 7.0})
    with pytest.raises(OutOfRange):
        right(-1.0)
    with pytest.raises(BadRequest, match="right, left"):
        posterior_room(room_mm={"middle": 30.0})
    with pytest.raises(BadRequest, match="upper, lower"):
        posterior_room(room_mm={"right": 30.0}, arch="front")
    with pytest.raises(OutOfRange):
        right(30.0, room_half_width_mm=-0.5)


@published.each("tooth_ratios")
def test_the_crowns_of_the_table_pass_the_published_ratio_without_a_warning(row):
    found = tooth_sizes(
        upper_mm=number(row, "upper_mm"), lower_mm=number(row, "lower_mm"), teeth=int(row["teeth"])
    )

    assert found.ratio_percent == pytest.approx(
        number(row, "ratio_percent"), abs=number(row, "tolerance")
    )
    assert found.warning is None


@pytest.mark.parametrize(
    ("upper", "lower", "correction", "warns"),
    [
        (45.0, 36.284, 2.0, False),
        (45.0, 36.3, 2.0207, True),
        (45.0, 33.19, -2.0078, True),
        (45.0, 33.2, -1.9948, False),
    ],
)
def test_teeth_that_do_not_match_warn_above_two_millimetres_and_by_no_deviation(
    upper, lower, correction, warns
):
    # 36.284 of 45 is 80.6 %: two standard deviations from the mean, and still no warning.
    found = tooth_sizes(upper_mm=upper, lower_mm=lower)

    assert found.upper_correction_mm == pytest.approx(correction, abs=1e-4)
    assert (found.warning is not None) is warns


def test_a_mismatch_is_told_for_the_teeth_that_can_be_chosen():
    warning = tooth_sizes(upper_mm=42.0, lower_mm=36.0).warning

    assert warning.text.startswith(
        "The 6 lower teeth are 85.7 % of the upper ones; at the mean of 77.2 % the upper teeth "
        "would be 4.6 mm wider."
    )
    assert "choose other upper teeth; the dentist decides" in warning.text
    assert "55 subjects" in warning.source
    assert "narrower" in tooth_sizes(upper_mm=50.0, lower_mm=35.0).warning.text
    with pytest.raises(BadRequest, match="6 or 12"):
        tooth_sizes(upper_mm=42.0, lower_mm=36.0, teeth=8)
