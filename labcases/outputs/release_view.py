"""What a pin rise means at the remount, in words with their source."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from labcases.models import Release

GOOD_MM = Decimal("0.5")
CORRECT_MM = Decimal("1")
SOURCE = "common practice, no source"


@dataclass(frozen=True)
class PinView:
    """The rise, the pin after correction, and what the rise calls for."""

    rise_mm: Decimal | None
    after_mm: Decimal | None
    agreed_mm: Decimal
    limit_mm: Decimal
    advice: str
    back: bool | None


def pin(row: Release | None, agreed_mm: Decimal) -> PinView:
    """Read the remount. Where the error is, only foil can tell; the pin cannot.

    Parameters
    ----------
    row : Release or None
        The release as stored.
    agreed_mm : Decimal
        The pin value that the dentist agreed to.
    """
    rise = row.pin_rise_mm if row else None
    after = row.pin_after_mm if row else None
    limit = row.rise_limit_mm if row else Release._meta.get_field("rise_limit_mm").default
    return PinView(
        rise_mm=rise,
        after_mm=after,
        agreed_mm=agreed_mm,
        limit_mm=limit,
        advice=_advice(rise),
        back=None if after is None else abs(after - agreed_mm) <= limit,
    )


def _advice(rise: Decimal | None) -> str:
    if rise is None:
        return ""
    if rise <= GOOD_MM:
        return f"Up to {GOOD_MM:f} mm is usual; bring the pin back at the denture teeth."
    if rise <= CORRECT_MM:
        return (
            f"Above {GOOD_MM:f} mm: correct the denture teeth with foil, centric first, then "
            "working, balancing and protrusive."
        )
    return f"Above {CORRECT_MM:f} mm: look for the reason and mount again before any tooth is cut."
