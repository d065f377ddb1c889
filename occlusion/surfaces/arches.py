"""Both arches from callipers: laid out, settled into contact, and drawn as fields and samples."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, cast

import numpy as np

from occlusion.articulator import ArticulatorSettings, Member, Point, choose
from occlusion.errors import BadRequest
from occlusion.frames import Array
from occlusion.ranges import EngineWarning, check_hard, check_point
from occlusion.surfaces.calliper import LEAST_DEPTH_MM, CalliperTooth, CompensatingCurve
from occlusion.surfaces.cusps import Material, ToothForm, heights
from occlusion.surfaces.defaults import sentences
from occlusion.surfaces.drawing import drawn, field_from, samples_from
from occlusion.surfaces.heightfield import HeightField
from occlusion.surfaces.layout import OVERJET_MM, laid_out, sphere_of, spots
from occlusion.surfaces.samples import Samples
from occlusion.surfaces.seating import Mark, seated
from occlusion.surfaces.textbook import cusp_angle_of
from occlusion.teeth import arch_of, is_anterior

__all__ = ["LEAST_DEPTH_MM", "WORTH", "Arches", "Mark", "SetUp", "set_up"]

WORTH = (
    "Surfaces are drawn from calliper measures: good for ranking teeth, for signs, settings and "
    f"tilts, not for a depth below {LEAST_DEPTH_MM:g} mm. A cusp angle that is read 5 deg wrong "
    "is about 0.23 mm at 3 mm of travel (computed)."
)
"""What the calliper model is good for; goes with every answer that rests on it."""


@dataclass(frozen=True)
class SetUp:
    """What a set-up was asked for; ``Arches.changed`` asks again with it."""

    upper: tuple[CalliperTooth, ...]
    lower: tuple[CalliperTooth, ...]
    incisal_point_mm: Point
    curve: CompensatingCurve
    marks: tuple[Mark, ...]
    tilt_deg: float
    lifted_mm: Mapping[str, float] = field(default_factory=dict)

    def teeth(self) -> tuple[CalliperTooth, ...]:
        return self.upper + self.lower


@dataclass(frozen=True)
class Arches:
    """Two arches of cusps.

    Attributes
    ----------
    upper, lower : tuple of ToothForm
    settled_mm : dict of str to float
        How far each settled tooth moved from where it was laid out, + up.
    assumptions : tuple of str
        Sentences that name every default and what was settled; the first says what the model
        is good for.
    warnings : tuple of EngineWarning
        Unusual measures, and marks or settlings that need a second look.
    asked : SetUp
        The question, for asking again.
    """

    upper: tuple[ToothForm, ...]
    lower: tuple[ToothForm, ...]
    settled_mm: dict[str, float]
    assumptions: tuple[str, ...]
    warnings: tuple[EngineWarning, ...]
    asked: SetUp

    def field(self, member: Member, *, pitch_mm: float = 0.1) -> HeightField:
        """The surface of one arch over a grid.

        Raises
        ------
        OpenOrEmptyMesh
            That arch has no teeth.
        """
        return field_from(drawn(self.forms(member), member=member, pitch_mm=pitch_mm))

    def samples(self, member: Member, *, pitch_mm: float = 0.1) -> Samples:
        """The same surface as points, with tooth and incline of each.

        Raises
        ------
        OpenOrEmptyMesh
            That arch has no teeth.
        """
        return samples_from(drawn(self.forms(member), member=member, pitch_mm=pitch_mm))

    def forms(self, member: Member) -> tuple[ToothForm, ...]:
        """The teeth of one arch."""
        choose(member, ("upper", "lower"), field="member", label="member")
        return self.upper if member == "upper" else self.lower

    def heights(self, member: Member, x_mm: Any, y_mm: Any) -> Array:
        """Heights of one arch at places of one shape, in mm; nan beside its teeth.

        The difference of two set-ups at the same places tells what a measure does there.
        """
        x, y = np.broadcast_arrays(np.asarray(x_mm, dtype=float), np.asarray(y_mm, dtype=float))
        return heights(self.forms(member), x.ravel(), y.ravel()).reshape(x.shape)

    def place_at(self, member: Member, x_mm: float, y_mm: float) -> str | None:
        """Which tooth owns a place: the one met there first; None beside all teeth."""
        x, y = np.array([float(x_mm)]), np.array([float(y_mm)])
        sign = 1.0 if member == "lower" else -1.0
        over = [
            (sign * float(z[0]), form.tooth)
            for form in self.forms(member)
            if not np.isnan((z := heights([form], x, y))[0])
        ]
        return max(over)[1] if over else None

    def material(self, tooth: str) -> Material:
        """Of what a tooth is.

        Raises
        ------
        BadRequest
            It is not in the set-up.
        """
        return self._form(tooth).material

    def moved(self, up_mm: Mapping[str, float]) -> Arches:
        """The same arches with some denture teeth off their contact, such as after processing.

        Parameters
        ----------
        up_mm : mapping of str to float
            How far each tooth stands above the height that it was settled to.

        Raises
        ------
        BadRequest
            A tooth is natural, or not in the set-up.
        NotANumber, OutOfRange
        """
        lifts = dict(self.asked.lifted_mm)
        for tooth, up in up_mm.items():
            if self.material(tooth) == "natural":
                raise BadRequest(
                    f"Tooth {tooth} is natural and stays where it stands. Move denture teeth only.",
                    field=f"moved.{tooth}",
                    value=tooth,
                )
            lifts[tooth] = lifts.get(tooth, 0.0) + check_hard(
                "tip_height_mm", up, field=f"moved.{tooth}", label=f"movement of tooth {tooth}"
            )
        changed = replace(self.asked, lifted_mm=lifts)
        return replace(
            self, upper=_lifted(self.upper, up_mm), lower=_lifted(self.lower, up_mm), asked=changed
        )

    def changed(self, *, upper_cusp_deg: float = 0.0, lower_cusp_deg: float = 0.0) -> Arches:
        """The same arches with all cusps of an arch steeper, settled anew.

        For spreads: what an error of the cusp angle does, after the teeth were set to touch.
        Slopes along the arch that were not given change with the cusp angle. Front teeth keep
        their facets.

        Parameters
        ----------
        upper_cusp_deg, lower_cusp_deg : float
            How much steeper; no cusp gets flatter than 0.

        Raises
        ------
        OutOfRange
            A cusp would be steeper than a tooth can have it.
        """
        asked = replace(
            self.asked,
            upper=tuple(_steeper(tooth, upper_cusp_deg) for tooth in self.asked.upper),
            lower=tuple(_steeper(tooth, lower_cusp_deg) for tooth in self.asked.lower),
        )
        return replace(_made(asked), assumptions=self.assumptions)

    def _form(self, tooth: str) -> ToothForm:
        for form in self.forms(arch_of(tooth)):
            if form.tooth == tooth:
                return form
        raise BadRequest(
            f"Tooth {tooth} is not in the set-up. Choose one that was given.",
            field="tooth",
            value=tooth,
            limit=[form.tooth for form in self.upper + self.lower],
        )


def set_up(
    *,
    upper: Sequence[CalliperTooth],
    lower: Sequence[CalliperTooth],
    incisal_point_mm: Point,
    curve: CompensatingCurve | None = None,
    marks: Sequence[Mark] = (),
    settings: ArticulatorSettings | None = None,
) -> Arches:
    """Two arches laid out from calliper measures and settled into contact.

    Upper denture teeth settle against the lower arch; lower denture teeth against natural
    upper ones. Natural teeth stay, also where they stand above or below the curve: their
    antagonists follow them.

    Parameters
    ----------
    upper, lower : sequence of CalliperTooth
        The teeth that there are. A missing tooth leaves its space.
    incisal_point_mm : tuple of float
        Middle of the lower incisal edges, in articulator axes.
    curve : CompensatingCurve, optional
        The sphere that tips and edges stand on; by default the classic one.
    marks : sequence of Mark
        Observed contacts, each of which sets the height of its tooth.
    settings : ArticulatorSettings, optional
        The arches lie in its reference plane; without it, in the articulator's own axes.

    Raises
    ------
    BadRequest
        A tooth is named twice or in the wrong arch, there is none, or a mark names a tooth
        that does not settle.
    NotANumber, OutOfRange, ImpossibleGeometry, NoSolution
    """
    asked = SetUp(
        upper=_checked(upper, "upper"),
        lower=_checked(lower, "lower"),
        incisal_point_mm=check_point(
            incisal_point_mm, field="incisal_point_mm", label="incisal point"
        ),
        curve=curve or CompensatingCurve(),
        marks=tuple(marks),
        tilt_deg=0.0 if settings is None else settings.reference_plane.tilt_deg,
    )
    if not asked.teeth():
        raise BadRequest(
            "There are no teeth in either arch. Enter the teeth that there are.", field="calliper"
        )
    return _made(asked)


def _made(asked: SetUp) -> Arches:
    widths = {tooth.tooth: tooth.md_mm for tooth in asked.teeth() if tooth.md_mm is not None}
    sphere = sphere_of(
        asked.curve, incisal_point_mm=asked.incisal_point_mm, tilt_deg=asked.tilt_deg
    )
    laid = [
        laid_out(
            teeth,
            places=spots(
                cast(Member, member),
                incisal_point_mm=asked.incisal_point_mm,
                widths_mm=widths,
                tilt_deg=asked.tilt_deg,
            ),
            sphere=sphere,
            tilt_deg=asked.tilt_deg,
        )
        for member, teeth in (("upper", asked.upper), ("lower", asked.lower))
    ]
    seat = seated(laid[0], laid[1], asked.marks)
    return Arches(
        upper=_lifted(seat.upper, asked.lifted_mm),
        lower=_lifted(seat.lower, asked.lifted_mm),
        settled_mm=seat.settled_mm,
        assumptions=(
            *(WORTH, *_placed(asked)),
            *(*sentences(asked.teeth()), *seat.sentences),
            *_overruled(asked, seat.settled_mm),
        ),
        warnings=(
            *asked.curve.warnings(),
            *(warning for tooth in asked.teeth() for warning in tooth.warnings()),
            *seat.warnings,
        ),
        asked=asked,
    )


def _placed(asked: SetUp) -> list[str]:
    """Sentences on the curve and on the layout."""
    curve = f"Lower tips stand on a sphere of {asked.curve.radius_mm:g} mm"
    if asked.curve.lowest_mm is None:
        curve += ", on which the incisal point and the second molars are at one height"
    own = [tooth.tooth for tooth in asked.teeth() if tooth.centre_mm is not None]
    place = (
        "The arches are laid out from the incisal point and the crown widths, the upper tips "
        f"{OVERJET_MM:g} mm outside the lower ones (common practice, no source)"
    )
    return [
        f"{curve}; where no tip height and no tilt are given, both are 0.",
        f"{place}; {', '.join(own)} stand where they were measured." if own else f"{place}.",
    ]


def _overruled(asked: SetUp, settled: Mapping[str, float]) -> list[str]:
    """A sentence on tip heights that were given for teeth that settle."""
    named = [
        tooth.tooth
        for tooth in asked.teeth()
        if tooth.tooth in settled and tooth.tip_height_mm is not None
    ]
    if not named:
        return []
    return [f"Settled into contact in spite of a tip height of its own: {', '.join(named)}."]


def _checked(teeth: Sequence[CalliperTooth], member: Member) -> tuple[CalliperTooth, ...]:
    """Teeth of one arch, each once."""
    seen: set[str] = set()
    for tooth in teeth:
        if tooth.member != member:
            raise BadRequest(
                f"Tooth {tooth.tooth} is in the list of the {member} arch and belongs to the "
                f"{tooth.member} one. Move it there.",
                field=f"calliper.{member}",
                value=tooth.tooth,
            )
        if tooth.tooth in seen:
            raise BadRequest(
                f"Tooth {tooth.tooth} is given twice. Give each tooth once.",
                field=f"calliper.{member}",
                value=tooth.tooth,
            )
        seen.add(tooth.tooth)
    return tuple(teeth)


def _steeper(tooth: CalliperTooth, by_deg: float) -> CalliperTooth:
    if is_anterior(tooth.tooth) or by_deg == 0.0:
        return tooth
    return replace(tooth, cusp_angle_deg=max(0.0, cusp_angle_of(tooth) + by_deg))


def _lifted(forms: Sequence[ToothForm], up_mm: Mapping[str, float]) -> tuple[ToothForm, ...]:
    return tuple(
        form.moved(float(up_mm[form.tooth])) if form.tooth in up_mm else form for form in forms
    )
