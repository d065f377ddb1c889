"""A reduction of a denture tooth that goes beyond its height budget."""

from __future__ import annotations

from dataclasses import dataclass

from labcases.domain.calculations.height import HeightRow
from labcases.domain.calculations.refusals import CannotCompute
from labcases.enums import OpposingTooth
from occlusion.errors import OcclusionError
from occlusion.reduction.denture import DentureTooth

STEP_MM = 0.01


@dataclass(frozen=True)
class Beyond:
    """What a depth would leave of a tooth. Holds a ``DentureTooth``: no other has a depth.

    Numbers are millimetres. ``left_mm`` is the height budget less what was taken off, below 0
    where more was; ``shell_after_mm`` is the shell over the fossa that the depth leaves, and
    ``most_mm`` the depth at which none would be left.
    """

    tooth: DentureTooth
    depth_mm: float
    taken_mm: float
    budget_mm: float
    shell_left_mm: float
    shell_min_mm: float

    @property
    def left_mm(self) -> float:
        return round(self.budget_mm - self.taken_mm, 9)

    @property
    def shell_now_mm(self) -> float:
        return round(self.shell_left_mm - self.taken_mm, 9)

    @property
    def shell_after_mm(self) -> float:
        return round(self.shell_now_mm - self.depth_mm, 9)

    @property
    def most_mm(self) -> float:
        return round(self.shell_now_mm - STEP_MM, 9)


def beyond(
    *,
    tooth: str,
    kind: OpposingTooth,
    depth_mm: float,
    row: HeightRow | None,
    shell_min_mm: float | None,
    taken_mm: float,
) -> Beyond:
    """A reduction that the height budget of a site does not cover.

    Parameters
    ----------
    tooth : str
        ISO 3950.
    kind : OpposingTooth
        What stands there once the denture is set.
    depth_mm : float
        What is to be taken off beside what was taken off already.
    row : HeightRow, optional
        The height budget of the site.
    shell_min_mm : float, optional
        Least shell on the material sheet.
    taken_mm : float
        What was logged as taken off the tooth.

    Raises
    ------
    CannotCompute
        It is no denture tooth, the site has no budget, or the tooth would be ground through.
    """
    try:
        material = "denture" if kind == OpposingTooth.DENTURE else "natural"
        chosen = DentureTooth(tooth, material)  # type: ignore[arg-type]
    except OcclusionError as refusal:
        raise CannotCompute(str(refusal), part="sites") from refusal
    if (
        row is None
        or row.occlusal_budget_mm is None
        or row.shell_left_mm is None
        or shell_min_mm is None
    ):
        raise CannotCompute(
            f"{tooth} has no height budget, so nothing can be beyond it. Measure the site first.",
            part="sites",
            field=f"{tooth}-space_mm",
        )
    found = Beyond(
        tooth=chosen,
        depth_mm=depth_mm,
        taken_mm=taken_mm,
        budget_mm=row.occlusal_budget_mm,
        shell_left_mm=row.shell_left_mm,
        shell_min_mm=shell_min_mm,
    )
    if depth_mm < STEP_MM:
        raise CannotCompute(
            f"The depth at {tooth} is {depth_mm:g} mm. Enter {STEP_MM:g} mm or more.",
            part="sites",
        )
    if found.most_mm < STEP_MM:
        raise CannotCompute(
            f"No shell is left over the fossa of {tooth}. Set the tooth again, or choose another "
            "way out.",
            part="sites",
        )
    if found.shell_after_mm < STEP_MM - 1e-9:
        raise CannotCompute(
            f"{depth_mm:g} mm off {tooth} would grind it through: the shell over the fossa is "
            f"{found.shell_now_mm:g} mm. Enter at most {found.most_mm:g} mm, or set the tooth "
            "again.",
            part="sites",
        )
    return found
