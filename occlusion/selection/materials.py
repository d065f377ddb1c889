"""What a material of denture teeth means against what it will meet: cautions, as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from occlusion.articulator import choose
from occlusion.sources import SOURCES, cite

ToothMaterial = Literal["acrylic", "composite", "porcelain"]
Opponent = Literal["enamel", "porcelain", "acrylic", "composite", "metal"]

ANY_MATERIAL: tuple[ToothMaterial, ...] = get_args(ToothMaterial)
ANY_OPPONENT: tuple[Opponent, ...] = get_args(Opponent)


@dataclass(frozen=True)
class Caution:
    """A thing to know of a material.

    Attributes
    ----------
    code : str
        Its name.
    materials, opponents : tuple of str
        Where it holds.
    text : str
        In words.
    source : str
        Key of ``occlusion.sources.SOURCES``.
    when_ground : bool
        It matters only if the tooth is to be ground, on its occlusal or its ridge side.
    """

    code: str
    materials: tuple[ToothMaterial, ...]
    opponents: tuple[Opponent, ...]
    text: str
    source: str
    when_ground: bool = False

    @property
    def how_read(self) -> str:
        return SOURCES[self.source].how_read

    @property
    def sentence(self) -> str:
        return f"{self.text} Source: {cite(self.source)}."


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "porcelain_wears_enamel",
        ("porcelain",),
        ("enamel",),
        "Porcelain wears natural teeth down, most of all where its glaze is gone. Resin or "
        "composite is kinder to them; the dentist decides.",
        "common_teaching",
    ),
    Caution(
        "porcelain_wears_softer",
        ("porcelain",),
        ("acrylic", "composite", "metal"),
        "Porcelain wears softer teeth, fillings and crowns that it meets.",
        "common_teaching",
    ),
    Caution(
        "porcelain_on_porcelain",
        ("porcelain",),
        ("porcelain",),
        "Porcelain on porcelain clicks and chips, and gives a thin ridge no rest.",
        "practice",
    ),
    Caution(
        "acrylic_loses_most",
        ("acrylic",),
        ("porcelain",),
        "Against ceramic, acrylic teeth lost 149 to 166 um, composite 117 um and ceramic 36 um: "
        "expect the vertical to fall, and look at the contacts at each recall.",
        "ghazal_2008",
    ),
    Caution(
        "composite_loses_less",
        ("composite",),
        ("porcelain",),
        "Against ceramic, composite teeth lost 117 um where acrylic ones lost 149 to 166 um and "
        "ceramic ones 36 um.",
        "ghazal_2008",
    ),
    Caution(
        "resin_yields_to_enamel",
        ("acrylic",),
        ("enamel",),
        "Against an enamel cusp resin teeth lost about ten times as much as enamel did (0.249 and "
        "0.206 against 0.022 mm3): the denture gives way and the natural tooth is spared.",
        "enamel_wear_2012",
    ),
    Caution(
        "wear_in_the_mouth",
        ("acrylic", "composite"),
        ("enamel", "porcelain", "metal"),
        "After two years resin teeth of partial dentures had lost 91 +- 85 um on the whole and "
        "329 +- 204 um where they met: plan the recall for it.",
        "stober_2019",
    ),
    Caution(
        "choose_by_antagonist",
        ANY_MATERIAL,
        ANY_OPPONENT,
        "Choose the material by what it will meet; like on like where that is possible.",
        "wear_review_2022",
    ),
    Caution(
        "outer_layer",
        ANY_MATERIAL,
        ANY_OPPONENT,
        "Grinding removes the wear-resistant outer layer: keep as much of it as the adjustment "
        "allows.",
        "wear_review_2022",
        when_ground=True,
    ),
    Caution(
        "glaze_and_hold",
        ("porcelain",),
        ANY_OPPONENT,
        "Ground porcelain has lost its glaze and must be polished until smooth; ground on the "
        "ridge side it may lose what holds it in the base.",
        "practice",
        when_ground=True,
    ),
    Caution(
        "thick_tooth_thin_base",
        ("composite",),
        ANY_OPPONENT,
        "Thick composite teeth (2.0 to 2.5 mm over the fossa) on a thin base failed at their joint "
        "to it, at a lower load than thinner ones: look at tooth and base together.",
        "thin_base_fracture",
        when_ground=True,
    ),
    Caution(
        "least_shell",
        ANY_MATERIAL,
        ANY_OPPONENT,
        "How thin a hollow-ground shell may become stands on the material sheet of the tooth; no "
        "figure is built in here.",
        "practice",
        when_ground=True,
    ),
)
"""Every caution. None of them forbids a material."""


def material_against(
    *, material: ToothMaterial, opponent: Opponent, ground: bool = True
) -> tuple[Caution, ...]:
    """What to know of a material against what it will meet.

    Parameters
    ----------
    material : {"acrylic", "composite", "porcelain"}
        Of the denture teeth.
    opponent : {"enamel", "porcelain", "acrylic", "composite", "metal"}
        What they meet.
    ground : bool
        Whether they may have to be ground, which is usual against natural teeth.

    Raises
    ------
    BadRequest
    """
    choose(material, ANY_MATERIAL, field="material", label="tooth material")
    choose(opponent, ANY_OPPONENT, field="opponent", label="opponent")
    return tuple(
        one
        for one in CAUTIONS
        if material in one.materials
        and opponent in one.opponents
        and (ground or not one.when_ground)
    )
