"""Names of inclines, which way they face, and where a mark lies."""

import pytest

from occlusion.errors import BadRequest, OutOfRange
from occlusion.reduction.inclines import (
    CuspPlace,
    Incline,
    in_tooth_axes,
    incline_at,
    incline_named,
    incline_of,
    usual_cusps,
)


@pytest.mark.parametrize(
    ("name", "faces", "words"),
    [
        ("buccal outer mesial", "buccal", "mesiobuccal (outer) incline of the upper buccal cusp"),
        ("buccal inner distal", "lingual", "distolingual (inner) incline of the upper buccal cusp"),
        ("lingual inner distal", "buccal", "distobuccal (inner) incline of the upper lingual cusp"),
        ("lingual outer", "lingual", "lingual (outer) incline of the upper lingual cusp"),
    ],
)
def test_an_incline_has_one_name_and_the_words_of_the_trade(name, faces, words):
    found = incline_named(name)

    assert (found.name, found.faces, found.in_words("upper")) == (name, faces, words)


@pytest.mark.parametrize(
    "name",
    ["", "buccal", "buccal inner left", "inner buccal", "buccal inner distal distal", 7, None],
)
def test_other_words_are_refused_with_an_example(name):
    with pytest.raises(BadRequest, match='such as "buccal inner distal"'):
        incline_named(name)


def test_an_entry_of_the_samples_is_told_in_words_and_minus_one_is_none():
    assert incline_at(3) == Incline("buccal", "inner", "distal")
    assert incline_at(5) == Incline("lingual", "inner", "distal")
    assert incline_at(-1) is None
    with pytest.raises(BadRequest, match=r"There is no incline 8\. Give -1 to 7"):
        incline_at(8)


@pytest.mark.parametrize(
    ("mesial", "buccal", "expected"),
    [
        # Tips of a first upper premolar, 9 mm wide: 2.25 mm either side of its middle.
        (0.5, 3.0, "buccal outer mesial"),
        (-0.5, 3.0, "buccal outer distal"),
        (0.5, 1.0, "buccal inner mesial"),
        (-0.5, 1.0, "buccal inner distal"),
        (0.5, -1.0, "lingual inner mesial"),
        (-0.5, -1.0, "lingual inner distal"),
        (0.5, -3.0, "lingual outer mesial"),
        (-0.5, -3.0, "lingual outer distal"),
    ],
)
def test_a_mark_on_a_premolar_lies_on_one_of_eight_inclines(mesial, buccal, expected):
    assert incline_of(tooth="14", mesial_mm=mesial, buccal_mm=buccal).name == expected


def test_mesial_and_distal_are_those_of_the_cusp_and_not_of_the_molar():
    # Tips of an upper first molar 10 x 11 mm: 2.5 mm before and behind, 2.75 mm either side.
    assert incline_of(tooth="16", mesial_mm=2.0, buccal_mm=2.0).name == "buccal inner distal"
    assert incline_of(tooth="16", mesial_mm=-2.0, buccal_mm=2.0).name == "buccal inner mesial"


def test_given_tips_replace_the_usual_ones():
    tips = [
        CuspPlace(cusp="buccal", mesial_mm=0.0, buccal_mm=1.0),
        CuspPlace(cusp="lingual", mesial_mm=0.0, buccal_mm=-1.0),
    ]

    assert incline_of(tooth="14", mesial_mm=1.0, buccal_mm=1.5).name == "buccal inner mesial"
    assert (
        incline_of(tooth="14", mesial_mm=1.0, buccal_mm=1.5, cusps=tips).name
        == "buccal outer mesial"
    )
    with pytest.raises(BadRequest, match="Give at least one tip"):
        incline_of(tooth="14", mesial_mm=1.0, buccal_mm=1.5, cusps=[])


def test_a_premolar_has_two_cusps_and_a_molar_four():
    assert len(usual_cusps("24")) == 2
    assert len(usual_cusps("46")) == 4
    for refused in (usual_cusps, lambda tooth: incline_of(tooth=tooth, mesial_mm=0, buccal_mm=0)):
        with pytest.raises(BadRequest, match="Tooth 13 is a front tooth"):
            refused("13")


def test_a_mark_far_from_any_mouth_is_refused():
    with pytest.raises(OutOfRange, match="Mark, mesially is 999 mm"):
        incline_of(tooth="14", mesial_mm=999.0, buccal_mm=0.0)


@pytest.mark.parametrize(
    ("tooth", "place", "mesial", "expected"),
    [
        ("16", (52.0, -28.0), (1.0, 0.0), (2.0, 3.0)),  # right: the cheek is at -y
        ("26", (52.0, 28.0), (1.0, 0.0), (2.0, 3.0)),  # left: the cheek is at +y
        ("26", (52.0, 22.0), (2.0, 0.0), (2.0, -3.0)),
        ("11", (51.0, 0.0), (0.0, 1.0), (25.0, 1.0)),  # in front the midline is to the left
    ],
)
def test_a_place_in_articulator_axes_is_read_in_those_of_the_tooth(tooth, place, mesial, expected):
    centre = (50.0, 25.0 if tooth[0] == "2" else -25.0)

    assert in_tooth_axes(
        tooth=tooth, place_mm=place, centre_mm=centre, mesial=mesial
    ) == pytest.approx(expected)


def test_no_direction_is_refused():
    with pytest.raises(BadRequest, match="both 0"):
        in_tooth_axes(tooth="16", place_mm=(0, 0), centre_mm=(0, 0), mesial=(0.0, 0.0))
