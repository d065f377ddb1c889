"""Cautions of a tooth material against what it meets."""

import re
from itertools import product

import pytest

from occlusion.errors import BadRequest
from occlusion.selection import material_against
from occlusion.selection.materials import ANY_MATERIAL, ANY_OPPONENT, CAUTIONS
from occlusion.sources import HOW_READ
from tests import published


def codes(material, opponent, **rest):
    return [one.code for one in material_against(material=material, opponent=opponent, **rest)]


def test_porcelain_against_natural_teeth_is_cautioned_first():
    found = material_against(material="porcelain", opponent="enamel")

    assert codes("porcelain", "enamel") == [
        "porcelain_wears_enamel",
        "choose_by_antagonist",
        "outer_layer",
        "glaze_and_hold",
        "least_shell",
    ]
    assert found[0].how_read == "recalled"
    assert found[0].sentence.endswith("Source: common teaching; from memory.")


@pytest.mark.parametrize(
    ("material", "opponent", "expected"),
    [
        ("acrylic", "enamel", ["resin_yields_to_enamel", "wear_in_the_mouth"]),
        ("acrylic", "porcelain", ["acrylic_loses_most", "wear_in_the_mouth"]),
        ("acrylic", "metal", ["wear_in_the_mouth"]),
        ("acrylic", "acrylic", []),
        ("composite", "porcelain", ["composite_loses_less", "wear_in_the_mouth"]),
        ("composite", "enamel", ["wear_in_the_mouth"]),
        ("porcelain", "acrylic", ["porcelain_wears_softer"]),
        ("porcelain", "metal", ["porcelain_wears_softer"]),
        ("porcelain", "porcelain", ["porcelain_on_porcelain"]),
    ],
)
def test_each_pair_has_its_own_cautions(material, opponent, expected):
    assert codes(material, opponent, ground=False) == [*expected, "choose_by_antagonist"]


@pytest.mark.parametrize("material", ANY_MATERIAL)
def test_grinding_always_costs_the_outer_layer_and_no_least_shell_is_built_in(material):
    ground = material_against(material=material, opponent="enamel")
    texts = {one.code: one.text for one in ground}

    assert "removes the wear-resistant outer layer" in texts["outer_layer"]
    assert "no figure is built in here" in texts["least_shell"]
    assert "outer_layer" not in codes(material, "enamel", ground=False)


def test_a_thick_composite_tooth_on_a_thin_base_is_its_own_caution():
    assert "thick_tooth_thin_base" in codes("composite", "enamel")
    assert "thick_tooth_thin_base" not in codes("acrylic", "enamel")


def test_every_caution_says_how_it_was_seen_and_grinds_no_natural_tooth():
    assert len({one.code for one in CAUTIONS}) == len(CAUTIONS) == 12
    for one in CAUTIONS:
        assert one.how_read in HOW_READ
        assert "grind the natural" not in one.text.lower()
    for material, opponent in product(ANY_MATERIAL, ANY_OPPONENT):
        assert "choose_by_antagonist" in codes(material, opponent)


def test_an_unknown_material_or_opponent_is_refused():
    with pytest.raises(BadRequest, match="acrylic, composite, porcelain"):
        material_against(material="gold", opponent="enamel")
    with pytest.raises(BadRequest, match="enamel, porcelain, acrylic, composite, metal"):
        material_against(material="acrylic", opponent="gums")


@published.each("wear_figures")
def test_figures_of_wear_stand_in_the_cautions_as_they_were_printed(row):
    (found,) = [one for one in CAUTIONS if one.code == row["caution"]]

    assert found.source == row["key"]
    assert row["words"] in found.text
    figures = re.findall(r"\d+\.?\d*(?=[ )])", row["words"])
    assert float(figures[int(row["place"])]) == float(row["expected"])


def test_about_ten_times_is_what_the_figures_of_the_two_resins_say():
    """Own arithmetic from 0.249, 0.206 and 0.022 mm3: 11.3 and 9.4 times."""
    (found,) = [one for one in CAUTIONS if one.code == "resin_yields_to_enamel"]
    first, second, enamel = (float(text) for text in re.findall(r"\d\.\d{3}", found.text))

    assert (first / enamel, second / enamel) == pytest.approx((11.3, 9.4), abs=0.05)
    assert "about ten times" in found.text
