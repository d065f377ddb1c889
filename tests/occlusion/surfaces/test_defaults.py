"""The sentences that name the textbook's defaults."""

import pytest

from occlusion.surfaces.calliper import CalliperTooth
from occlusion.surfaces.defaults import sentences


def tooth(number, material="denture", **measures):
    return CalliperTooth(tooth=number, material=material, **measures)


def test_sentences_name_each_default_its_source_and_its_teeth():
    said = sentences(
        [tooth("16"), tooth("46", "natural", md_mm=11.0), tooth("44", cusp_angle_deg=20.0)]
    )

    assert said == [
        "Mesiodistal widths are the textbook's (Ash and Nelson, Wheeler's Dental Anatomy, "
        "Physiology and Occlusion, Table 1-1; as quoted elsewhere): 16, 44.",
        "Buccolingual widths are the textbook's (Ash and Nelson, Wheeler's Dental Anatomy, "
        "Physiology and Occlusion, Table 1-1; as quoted elsewhere): all teeth.",
        "Buccal and lingual tips stand 58% of the width apart (common practice, no source): "
        "16, 46.",
        "One buccal cusp and no lingual one (common practice, no source): 44.",
        "Tips along the arch stand 49% of the width apart (First permanent maxillary molar "
        "morphology and ideal occlusion, abstract, 40 casts: buccal cusps of the upper first "
        "molar 4.88 +- 0.41 mm apart; read): 16, 46.",
        "Three buccal cusps instead, the distal one lowest (Ash and Nelson, Wheeler's Dental "
        "Anatomy, Physiology and Occlusion: a lower first molar has five cusps, the distal one "
        "the smallest; as quoted elsewhere): 46.",
        "Denture cusps of 20 deg (Beck, Occlusion as related to complete removable "
        "prosthodontics, Journal of Prosthetic Dentistry: denture cusps of 0, 20 and 33 deg; as "
        "quoted elsewhere): 16.",
        "Natural cusps of 19.25 deg (Digital measurement of cusp angles, 2022, doi "
        "10.1055/a-1868-6555: first molars of 21 casts 19.25 +- 6.86 deg; read): 46.",
        "Outer inclines of 45 deg (common practice, no source): all teeth.",
        "Mesial slopes as steep as the cusp angle (common practice, no source): all teeth.",
        "Distal slopes as steep as the cusp angle (common practice, no source): all teeth.",
        "Tips and edges are rounded with 0.5 mm (common practice, no source): all teeth.",
    ]


def test_a_tooth_with_every_measure_needs_no_sentence():
    measured = tooth(
        "14",
        **{"md_mm": 10.0, "bl_mm": 11.0, "tip_separation_mm": 6.0, "cusp_angle_deg": 20.0},
        **{"outer_incline_deg": 45.0, "mesial_slope_deg": 20.0, "distal_slope_deg": 20.0},
        tip_roundness_mm=0.5,
    )

    assert sentences([measured]) == []


@pytest.mark.parametrize("material", ["denture", "natural"])
@pytest.mark.parametrize("quadrant", "1234")
def test_no_sentence_stacks_brackets(quadrant, material):
    for text in sentences([tooth(f"{quadrant}{number}", material) for number in range(1, 9)]):
        inside = text[text.index("(") + 1 : text.rindex(")")]
        assert "(" not in inside, text
