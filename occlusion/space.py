"""Height budget of a site: base, tooth, hollow-grinding and reduction share one space."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

from occlusion.articulator import choose
from occlusion.errors import BadRequest
from occlusion.ranges import EngineWarning, check_hard
from occlusion.sources import cite
from occlusion.teeth import check_tooth

SpaceFrom = Literal["healed ridge", "planned trim line", "tuberosity"]

READING_HALF_WIDTH_MM: dict[str, float] = {
    "healed ridge": 0.3,
    "planned trim line": 1.0,
    "tuberosity": 0.5,
}
"""How far a reading of the space may be off either way (common practice, no source)."""

LOW_SPACE_MM = 5.0
"""Below this a resin base under a denture tooth is doubtful (common practice, no source)."""

ROUND_OFF = 1e-9


@dataclass(frozen=True)
class SiteBudget:
    """What a site has room for.

    Attributes
    ----------
    tooth : str
        ISO 3950.
    hollow_mm : float
        How much the tooth must be hollow-ground to fit over the base.
    occlusal_budget_mm : float
        What may come off the occlusal surface with the least shell still left.
    shell_left_mm : float
        Shell over the fossa after hollow-grinding; negative: ground through.
    fits : bool
        The least shell is left.
    short_by_mm : float
        What is missing, 0 when it fits.
    ways_out : tuple of str
        Sentences, empty when it fits.
    reading_half_width_mm : float
        How far the space reading may be off.
    warnings : tuple of EngineWarning
        A narrow answer, or a low site.
    """

    tooth: str
    hollow_mm: float
    occlusal_budget_mm: float
    shell_left_mm: float
    fits: bool
    short_by_mm: float
    ways_out: tuple[str, ...]
    reading_half_width_mm: float
    warnings: tuple[EngineWarning, ...]


def site_budget(
    *,
    tooth: str,
    space_mm: float,
    space_from: SpaceFrom = "healed ridge",
    base_min_mm: float,
    relief_mm: float = 0.0,
    tooth_height_mm: float,
    shell_over_fossa_mm: float,
    shell_min_mm: float,
    base_allowed_mm: float | None = None,
    approved_raise_mm: float = 0.0,
    pin_ratio: float | None = None,
) -> SiteBudget:
    """Budget of one site at the prescribed vertical.

    free = space - base - relief; hollow = tooth height - free, if positive; what is left
    of the shell after that, less the least shell, may come off the occlusal surface.

    Parameters
    ----------
    tooth : str
        ISO 3950.
    space_mm : float
        From the ridge to the opposing tooth.
    space_from : {"healed ridge", "planned trim line", "tuberosity"}
        Where the lower end of the callipers stood.
    base_min_mm, relief_mm : float
        Least base thickness and relief under it.
    tooth_height_mm, shell_over_fossa_mm : float
        Of the denture tooth.
    shell_min_mm : float
        Least shell, from the material sheet of the tooth.
    base_allowed_mm : float, optional
        The least base that the house allows anywhere, for the ways out. None is built in.
    approved_raise_mm : float
        A new vertical that the dentist has approved, at the pin. Never an opening of the
        pin: that is a temporary aid and makes no room.
    pin_ratio : float, optional
        Movement at the site for one at the pin; needed with an approved raise.

    Raises
    ------
    BadRequest, NotANumber, OutOfRange
    """
    check_tooth(tooth)
    choose(space_from, get_args(SpaceFrom), field="space_from", label="where space is read from")
    space = check_hard("space_mm", space_mm)
    base, relief = check_hard("base_min_mm", base_min_mm), check_hard("relief_mm", relief_mm)
    height = check_hard("tooth_height_mm", tooth_height_mm)
    shell = check_hard("shell_over_fossa_mm", shell_over_fossa_mm)
    least = check_hard("shell_min_mm", shell_min_mm)
    thinnest = None
    if base_allowed_mm is not None:
        thinnest = check_hard("base_min_mm", base_allowed_mm, field="base_allowed_mm")
    ratio = None if pin_ratio is None else check_hard("pin_ratio", pin_ratio)
    space += _raised(check_hard("approved_raise_mm", approved_raise_mm), ratio)

    hollow = _clean(max(0.0, height - (space - base - relief)))
    left = _clean(shell - hollow)
    short = _clean(max(0.0, least - left))
    half_width = READING_HALF_WIDTH_MM[space_from]
    return SiteBudget(
        tooth=tooth,
        hollow_mm=hollow,
        occlusal_budget_mm=_clean(max(0.0, left - least)),
        shell_left_mm=left,
        fits=short == 0.0,
        short_by_mm=short,
        ways_out=_ways_out(short, hollow, base, thinnest, height, ratio) if short else (),
        reading_half_width_mm=half_width,
        warnings=_warnings(tooth, space, left - least, hollow, half_width, space_from),
    )


def _raised(raise_mm: float, ratio: float | None) -> float:
    """What an approved raise at the pin gives at the site."""
    if raise_mm == 0.0:
        return 0.0
    if ratio is None:
        raise BadRequest(
            f"The approved raise is {raise_mm:g} mm at the pin, but pin_ratio is missing. Enter "
            "how far this site moves for 1 mm at the pin, such as 0.4.",
            field="pin_ratio",
        )
    return raise_mm * ratio


def _ways_out(
    short: float,
    hollow: float,
    base: float,
    thinnest: float | None,
    height: float,
    ratio: float | None,
) -> tuple[str, ...]:
    ways = []
    room = min(short, hollow)  # a lower tooth or a thinner base only saves hollow-grinding
    if room > 0.0 and height - room > 0.0:
        ways.append(
            f"A tooth of at most {_down(height - room)} mm in place of {height:g} mm"
            f"{_still(short - room)}."
        )
    if room > 0.0 and thinnest is None:
        ways.append(
            f"A base thinner than {base:g} mm, only if the house's own rule allows one: no least "
            "base is built in."
        )
    elif room > 0.0 and thinnest is not None and base > thinnest:
        gained = min(base - thinnest, room)
        ways.append(
            f"A base of {_up(base - gained)} mm in place of {base:g} mm, which the house allows"
            f"{_still(short - gained)}."
        )
    if short - room > ROUND_OFF:
        ways.append(f"A tooth with a shell that is {_up(short - room)} mm thicker over the fossa.")
    if room > 0.0:
        ways.append("A metal base or a facing without base at this site, if the dentist agrees.")
        at_pin = "" if ratio is None else f" ({_up(room / ratio)} mm at the pin)"
        ways.append(
            f"Only if the dentist raises the vertical by {_up(room)} mm at this site{at_pin}, then "
            f"new record and try-in{_still(short - room)}."
        )
    return tuple(ways)


def _still(short: float) -> str:
    return f"; still {_up(short)} mm short" if short > ROUND_OFF else ""


def _down(value_mm: float) -> str:
    """A greatest size, never rounded up."""
    return f"{math.floor(value_mm * 100.0 + 1e-6) / 100.0:g}"


def _up(value_mm: float) -> str:
    """A least amount, never rounded down."""
    return f"{math.ceil(value_mm * 100.0 - 1e-6) / 100.0:g}"


def _warnings(
    tooth: str, space: float, spare: float, hollow: float, half_width: float, read_from: str
) -> tuple[EngineWarning, ...]:
    found = []
    if abs(spare) < half_width - ROUND_OFF and (hollow > 0.0 or spare < 0.0):
        found.append(
            EngineWarning(
                "budget_within_reading_error",
                f"Site {tooth}: the answer turns within the reading error of the space, "
                f"{half_width:g} mm from the {read_from}. Read it again before relying on it.",
                cite("practice"),
            )
        )
    if space < LOW_SPACE_MM:
        found.append(
            EngineWarning(
                "space_low",
                f"Site {tooth} has {space:g} mm, less than {LOW_SPACE_MM:g}. Ask the dentist about "
                "a metal base or a facing without base.",
                cite("practice"),
            )
        )
    return tuple(found)


def _clean(value: float) -> float:
    """Without the round-off of the sums before it."""
    return round(value, 9) + 0.0
