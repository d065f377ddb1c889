"""Cautions about tooth materials name the teeth that meet, and their source."""

import pytest

from labcases.domain import cautions
from labcases.enums import ToothMaterial
from labcases.management.walk import natural, teeth_of
from labcases.models import Prescription


def prescribed(**more) -> Prescription:
    return Prescription(
        arch="upper",
        teeth=teeth_of("upper", "conventional"),
        **{"opposing": natural("lower"), **more},
    )


@pytest.mark.parametrize("material", [ToothMaterial.RESIN, ToothMaterial.COMPOSITE, ""])
def test_resin_teeth_bring_no_caution(material):
    assert cautions.of_material(prescribed(), material) == []


def test_porcelain_against_natural_teeth_names_every_tooth_that_meets_one():
    found = cautions.of_material(prescribed(), ToothMaterial.PORCELAIN)

    first = found[0]
    assert first.code == "porcelain-against-natural"
    assert "would meet natural teeth at 17, 16, 15, 14, 13, 12, 11, 21" in first.text
    assert first.text.endswith("The dentist decides.")
    assert "from memory" in first.source


@pytest.mark.parametrize(
    ("kind", "chart", "where"),
    [
        ("natural front teeth", {}, "positions that are not marked yet"),
        ("partial denture being made", {}, "positions that are not marked yet"),
        ("natural front teeth", {"33": "natural"}, "23"),
        ("complete denture worn", {}, None),
        ("complete denture worn", {"33": "natural"}, None),
        ("nothing", {}, None),
        ("", {}, None),
    ],
)
def test_porcelain_follows_the_kind_of_the_opposing_arch(kind, chart, where):
    row = prescribed(opponent=kind, opposing=chart)
    found = cautions.of_material(row, ToothMaterial.PORCELAIN)
    against = [one.text for one in found if one.code == "porcelain-against-natural"]

    assert [text.split(". ")[0] for text in against] == (
        [f"Porcelain teeth would meet natural teeth at {where}"] if where else []
    )


def test_porcelain_against_a_denture_warns_of_hollow_grinding_only():
    denture = dict.fromkeys(natural("lower"), "denture")

    found = cautions.of_material(prescribed(opposing=denture), ToothMaterial.PORCELAIN)

    assert [item.code for item in found] == ["hollow-grinding-porcelain"]
    assert found[0].source == "common practice, no source"
