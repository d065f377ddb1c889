"""Crown table, sides and the arch laid out from widths."""

import pytest

from occlusion import teeth
from occlusion.errors import BadRequest, OutOfRange, SidesLookSwapped

INCISAL = (80.0, 0.0, -32.0)


def widths(*numbers):
    return sum(teeth.crown(number).mesiodistal_mm for number in numbers)


def test_six_and_twelve_crowns_pass_the_ratios_that_the_table_should_show():
    # Bolton 1958: six 77.2 +- 1.65 %, twelve 91.3 +- 1.91 % (as quoted elsewhere).
    upper, lower = (2 * widths(*six) for six in (("11", "12", "13"), ("41", "42", "43")))
    upper12 = upper + 2 * widths("14", "15", "16")
    lower12 = lower + 2 * widths("44", "45", "46")

    assert (upper, lower) == (45.0, 35.0)
    assert (upper12, lower12) == (93.0, 85.0)
    assert 100 * lower / upper == pytest.approx(77.2, abs=1.65)
    assert 100 * lower12 / upper12 == pytest.approx(91.3, abs=1.91)


def test_posterior_segments_have_the_length_of_their_crowns():
    assert widths("24", "25", "26", "27") == 33.0
    assert widths("34", "35", "36", "37") == 35.5


@pytest.mark.parametrize(
    ("tooth", "side", "arch", "anterior"),
    [
        ("16", "right", "upper", False),
        ("23", "left", "upper", True),
        ("38", "left", "lower", False),
        ("41", "right", "lower", True),
    ],
)
def test_a_number_tells_side_arch_and_segment(tooth, side, arch, anterior):
    assert (teeth.side_of(tooth), teeth.arch_of(tooth)) == (side, arch)
    assert teeth.is_anterior(tooth) is anterior


@pytest.mark.parametrize("tooth", ["19", "51", "3", "016", "", 16, None, "1６"])
def test_what_is_no_permanent_tooth_is_refused(tooth):
    with pytest.raises(BadRequest, match="not an ISO 3950 number"):
        teeth.check_tooth(tooth)


def test_the_textbook_arch_stands_where_its_widths_put_it():
    # Half-ellipse of 30.5 by 49.82 mm, whose quarter is as long as eight upper crowns.
    places = teeth.arch_landmarks(arch="upper", incisal_point_mm=INCISAL)

    assert list(places)[:3] == ["18", "17", "16"]
    assert len(places) == 16
    expected = {"21": (49.3, 4.2), "23": (42.0, 16.5), "26": (22.2, 27.3), "28": (4.2, 30.4)}
    for tooth, (from_back, out) in expected.items():
        x, y, z = places[tooth]
        assert (49.82 - (80 - x), y, z) == pytest.approx((from_back, out, -32), abs=0.05)


@pytest.mark.parametrize("arch", ["upper", "lower"])
def test_right_and_left_of_an_arch_are_mirrored(arch):
    places = teeth.arch_landmarks(arch=arch, incisal_point_mm=INCISAL)
    right, left = teeth.QUADRANTS[arch]

    for position in range(1, 9):
        x, y, z = places[f"{right}{position}"]
        assert places[f"{left}{position}"] == (x, -y, z)
        assert y < 0


def test_wider_teeth_move_those_behind_them_back_on_their_side_only():
    plain = teeth.arch_landmarks(arch="upper", incisal_point_mm=INCISAL)
    wide = teeth.arch_landmarks(arch="upper", incisal_point_mm=INCISAL, widths_mm={"24": 8.0})

    assert wide["26"][0] < plain["26"][0]
    assert wide["16"] == plain["16"]


def test_an_impossible_width_is_refused():
    with pytest.raises(OutOfRange, match="Crown width of 24 is 80 mm"):
        teeth.arch_landmarks(arch="upper", incisal_point_mm=INCISAL, widths_mm={"24": 80})


def test_a_tooth_on_the_wrong_side_is_refused():
    with pytest.raises(SidesLookSwapped, match="Tooth 16 is on the right"):
        teeth.check_side("16", 25.0)
    with pytest.raises(SidesLookSwapped):
        teeth.check_side("36", -0.1)


def test_an_incisor_may_stand_past_a_shifted_midline():
    teeth.check_side("11", 3.0)

    with pytest.raises(SidesLookSwapped):
        teeth.check_side("11", 4.1)
