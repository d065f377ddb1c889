"""The only things that may be ground: teeth of a denture.

Everything in this package that names a depth, an order or a plan holds a ``DentureTooth``,
and that class refuses to exist for a natural tooth. What a natural tooth may be is the
place of a finding.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from occlusion.articulator import choose
from occlusion.errors import BadRequest, kind_of
from occlusion.ranges import EngineWarning
from occlusion.sources import cite
from occlusion.teeth import check_tooth

Material = Literal["denture", "natural"]
ToothMaterial = Literal["resin", "composite", "porcelain"]

DENTIST_DECIDES = "Adjusting natural teeth is the dentist's decision; request it here."
"""What is said wherever a natural tooth could yield."""


@dataclass(frozen=True)
class DentureTooth:
    """A tooth that belongs to a denture.

    Parameters
    ----------
    tooth : str
        ISO 3950.
    material : {"denture"}
        Whose tooth it is; anything else is refused.
    made_of : {"resin", "composite", "porcelain"}, optional
        None: not told.

    Raises
    ------
    BadRequest
    """

    tooth: str
    material: Material
    made_of: ToothMaterial | None = None

    def __post_init__(self) -> None:
        check_tooth(self.tooth)
        if self.material != "denture":
            raise BadRequest(
                f"Tooth {self.tooth} is {kind_of(self.material)}, not a denture tooth. No "
                f"reduction is proposed for it. {DENTIST_DECIDES}",
                field="material",
                value=self.material,
                limit="denture",
            )
        if self.made_of is not None:
            choose(self.made_of, get_args(ToothMaterial), field="made_of", label="tooth material")


def as_object(
    tooth: str, material: Material, made_of: ToothMaterial | None = None
) -> DentureTooth | None:
    """The tooth as something that may be reduced, or None for a natural one.

    Raises
    ------
    BadRequest
        The material is neither.
    """
    choose(material, get_args(Material), field="material", label="material")
    return DentureTooth(tooth, material, made_of) if material == "denture" else None


def cautions_of(chosen: DentureTooth, *, against: Material) -> tuple[EngineWarning, ...]:
    """What to mind when this tooth is ground.

    Parameters
    ----------
    chosen : DentureTooth
        The tooth that yields.
    against : {"denture", "natural"}
        What it meets.
    """
    found = []
    if chosen.made_of == "porcelain":
        found.append(
            EngineWarning(
                "porcelain_glaze",
                f"{chosen.tooth} is porcelain: grinding takes its glaze, and in the base it cannot "
                "be fired again. Polish it to a gloss.",
                cite("practice"),
            )
        )
        if against == "natural":
            found.append(
                EngineWarning(
                    "porcelain_enamel",
                    f"{chosen.tooth} meets natural enamel, which rough porcelain wears. Do not "
                    "leave it unpolished.",
                    cite("practice"),
                )
            )
    else:
        found.append(
            EngineWarning(
                "outer_layer",
                f"Grinding removes the wear-resistant outer layer of {chosen.tooth}. Keep as much "
                "of it as you can.",
                cite("wear_review_2022"),
            )
        )
    return tuple(found)
