"""What is said of cusp forms, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from occlusion.ranges import LIMITS
from occlusion.schemes import Scheme
from occlusion.sources import cite


def role_words(fit: str, gap_mm: tuple[float, float]) -> str:
    """What a cusp does in one kind of movement."""
    low, high = gap_mm
    if fit == "in balance":
        return "as steep as the path, balance is possible"
    if fit == "interferes":
        return f"steeper, an interference of {max(-high, 0.0):.2f} to {-low:.2f} mm"
    if fit == "parts":
        return f"flatter, a gap of {max(low, 0.0):.2f} to {high:.2f} mm"
    return f"from {_depth(low)} to {_depth(high)}"


def advice_sentences(
    scheme: Scheme, *, balanced: tuple[float, float] | None, against: Sequence[float]
) -> tuple[str, ...]:
    """What the whole comparison says."""
    if balanced is None:
        first = "None of the usual cusp angles can be balanced in all three movements as set."
    elif balanced[0] == balanced[1]:
        first = f"Of the usual cusp angles {balanced[0]:g} deg could be balanced as set."
    else:
        first = f"Cusp angles of {balanced[0]:g} to {balanced[1]:g} deg could be balanced as set."
    words = [first]
    if against:
        angles = ", ".join(f"{angle:g}" for angle in against)
        words.append(f"Not as a {scheme} scheme wants in some movement: {angles} deg.")
    if scheme == "flat":
        words.append("A flat scheme asks for teeth without cusps; the rest is told for comparison.")
    if scheme == "lingualised":
        words.append(
            "In a lingualised scheme the upper lingual cusp glides on the lower tooth: compare the "
            "lower incline, and keep the upper buccal cusps out of contact."
        )
    words.append(
        "Against natural teeth the cusps of these count as much as those chosen here. A proposal; "
        "the dentist decides."
    )
    return tuple(words)


def advice_assumptions(
    *,
    plane: str,
    laid_out: Sequence[str],
    travel_mm: float,
    balance_deg: float,
    tilts_deg: tuple[float, float],
    half_widths: Mapping[str, float],
) -> tuple[str, ...]:
    """What the comparison takes for granted, naming every default used."""
    found = [
        f"Facets in contact at maximum intercuspation and straight along {travel_mm:g} mm of "
        f"horizontal travel; angles against the {plane}.",
        f"A cusp within {balance_deg:g} deg of the path counts as in balance "
        f"({cite('practice')}); usual cusp angles: {cite('cusp_forms')}.",
        "The pin at zero: an opened pin is a temporary aid.",
        f"Tilt of the teeth {tilts_deg[0]:g} deg in protrusion, {tilts_deg[1]:g} deg to the cheek.",
    ]
    if laid_out:
        found.append(
            f"Molars {', '.join(laid_out)} laid out from the incisal point by textbook widths "
            f"({cite('crown_table')})."
        )
    told = ", ".join(
        f"{LIMITS[name].label} {width:g} {LIMITS[name].unit}" for name, width in half_widths.items()
    )
    found.append(
        f"Ranges hold 90 of 100 reading errors: {told}." if told else "Readings taken as exact."
    )
    return tuple(found)


def _depth(gap: float) -> str:
    return f"an interference of {-gap:.2f} mm" if gap < 0 else f"a gap of {gap:.2f} mm"
