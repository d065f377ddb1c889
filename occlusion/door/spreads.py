"""The key ``spread``: how far readings may be off, and how often they are drawn."""

from __future__ import annotations

from dataclasses import dataclass

from occlusion.articulator import ArticulatorSettings
from occlusion.door.shared import Plain
from occlusion.errors import BadRequest, OcclusionError
from occlusion.ranges import check_hard
from occlusion.requests import take
from occlusion.spread import DEFAULT_HALF_WIDTHS, STEPS, Draws, draws_of

CUSP = "cusp_angle_deg"
"""A half-width of the form, not of the settings: all cusps read by callipers."""

MOST_DRAWS = 10_000


@dataclass(frozen=True)
class AskedSpread:
    """Drawn settings, and how far cusp angles may be off either way."""

    draws: Draws
    cusp_angle_deg: float


def read_spread(value: object, settings: ArticulatorSettings, assumed: list[str]) -> AskedSpread:
    """The draws that a request asks for.

    Raises
    ------
    OcclusionError
        An unknown reading, or a number outside its limits.
    """
    told = take(value, field="spread", keys={"draws": 1000, "seed": 1, "half_width": None})
    given = value if isinstance(value, dict) else {}
    assumed += [
        f"spread.{key} is not given: {told[key]}." for key in ("draws", "seed") if key not in given
    ]
    draws = check_hard("draws", told["draws"], field="spread.draws")
    if draws > MOST_DRAWS:
        raise BadRequest(
            f"{draws:g} draws are more than {MOST_DRAWS}. Ask for fewer; 1000 know a deviation "
            "to about 3 %.",
            field="spread.draws",
            value=draws,
            limit=MOST_DRAWS,
        )
    known = (*(name for name in STEPS if name != "facet_deg"), CUSP)
    widths: Plain
    if told["half_width"] is None:
        widths = {name: width for name, width in DEFAULT_HALF_WIDTHS.items() if name in known}
        widths[CUSP] = DEFAULT_HALF_WIDTHS["facet_deg"]
        said = ", ".join(f"{name} {width:g}" for name, width in widths.items())
        assumed.append(f"spread.half_width is not given: {said}.")
    else:
        widths = {
            name: width
            for name, width in take(
                told["half_width"], field="spread.half_width", keys=dict.fromkeys(known)
            ).items()
            if width is not None
        }
    cusp = check_hard(
        "reading_half_width",
        widths.pop(CUSP, 0.0),
        field=f"spread.half_width.{CUSP}",
        label="reading error of the cusp angle",
    )
    try:
        found = draws_of(settings, half_widths=widths, draws=told["draws"], seed=told["seed"])
    except OcclusionError as refusal:
        refusal.field = f"spread.{refusal.field}"
        raise
    return AskedSpread(found, cusp)
