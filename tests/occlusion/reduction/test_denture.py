"""A natural tooth cannot become the object of a reduction."""

import dataclasses

import pytest

from occlusion.errors import BadRequest
from occlusion.reduction.denture import DentureTooth, as_object, cautions_of


@pytest.mark.parametrize("material", ["natural", "Denture", "", None, 1])
def test_nothing_but_a_denture_tooth_can_be_made(material):
    with pytest.raises(BadRequest, match="No reduction is proposed for it") as refused:
        DentureTooth("37", material)

    assert refused.value.text.endswith(
        "Adjusting natural teeth is the dentist's decision; request it here."
    )


def test_a_denture_tooth_cannot_be_turned_into_a_natural_one():
    tooth = DentureTooth("16", "denture")

    with pytest.raises(BadRequest, match="16 is the text 'natural'"):
        dataclasses.replace(tooth, material="natural")
    with pytest.raises(dataclasses.FrozenInstanceError):
        tooth.material = "natural"


def test_a_natural_tooth_is_no_object_and_other_words_are_refused():
    assert as_object("37", "natural") is None
    assert as_object("37", "denture", "resin") == DentureTooth("37", "denture", "resin")
    with pytest.raises(BadRequest, match="Choose one of: denture, natural"):
        as_object("37", "plaster")
    with pytest.raises(BadRequest, match="resin, composite, porcelain"):
        DentureTooth("16", "denture", "gold")
    with pytest.raises(BadRequest, match="not an ISO 3950 number"):
        DentureTooth("99", "denture")


@pytest.mark.parametrize(
    ("made_of", "against", "codes"),
    [
        ("porcelain", "natural", ["porcelain_glaze", "porcelain_enamel"]),
        ("porcelain", "denture", ["porcelain_glaze"]),
        ("resin", "natural", ["outer_layer"]),
        ("composite", "denture", ["outer_layer"]),
        (None, "natural", ["outer_layer"]),
    ],
)
def test_what_to_mind_follows_the_material_of_both_teeth(made_of, against, codes):
    found = cautions_of(DentureTooth("16", "denture", made_of), against=against)

    assert [one.code for one in found] == codes


def test_cautions_say_why():
    (layer,) = cautions_of(DentureTooth("16", "denture"), against="natural")
    glaze, enamel = cautions_of(DentureTooth("16", "denture", "porcelain"), against="natural")

    assert layer.text.startswith("Grinding removes the wear-resistant outer layer of 16.")
    assert "takes its glaze" in glaze.text
    assert "meets natural enamel, which rough porcelain wears" in enamel.text
