"""Until when the papers of a case are kept: the longest wish of the profiles that were read.

Not legal advice. What goes when a patient asks for it, and after that day, is in
``domain/erasing.py`` and ``domain/erasing_due.py``.
"""

from __future__ import annotations

from calendar import isleap
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from labcases.domain.profiles import STRICT, Profile, chosen, profiles
from labcases.models import Case


@dataclass(frozen=True)
class Kept:
    """The first day on which the papers of a case need not be kept any more, and why that day."""

    until: date
    counted_from: date
    years: int
    counted: str
    """What happened on the day that is counted from."""
    profile: Profile


def day_after_years(counted_from: date, years: int) -> date:
    """The same day so many years later; of two days that could be meant, the later one."""
    year = counted_from.year + years
    if (counted_from.month, counted_from.day) == (2, 29) and not isleap(year):
        return date(year, 3, 1)
    return counted_from.replace(year=year)


def kept_until(counted_from: date, profile: str = STRICT) -> date | None:
    """The day before which nothing is erased; nothing where the years of a place were not read.

    Parameters
    ----------
    counted_from : date
        The day of delivery.
    profile : str
        Key of a profile. The strict one is the longest of all.
    """
    years = profiles()[profile].retention_years
    return None if years is None else day_after_years(counted_from, years)


def of_case(case: Case) -> Kept | None:
    """How long the papers of an ended case are kept; nothing while it is open.

    The longer of what office and laboratory chose counts. Where either chose none, or one whose
    years were not read, so does the strict profile: keeping too long mends itself, erasing does
    not.
    """
    if case.is_open:
        return None
    day, counted = _counted_from(case)
    longest = rule(case)
    years = longest.retention_years or 0
    return Kept(day_after_years(day, years), day, years, counted, longest)


def rule(case: Case) -> Profile:
    """The profile by which the papers of a case are kept: the longest that counts."""
    own = chosen(case)
    unsure = not (case.office.profile and case.laboratory.profile) or any(
        one.retention_years is None for one in own
    )
    return _longest([*own, profiles()[STRICT]] if unsure else own)


def in_words(case: Case) -> str:
    """How long a paper of a case is kept, and by which rule; also while the case is open."""
    longest = rule(case)
    years = longest.retention_years
    told = "1 year" if years == 1 else f"{years} years"
    return f"at least {told} from delivery, by the longest rule that counts: {longest.title}"


def _longest(found: Iterable[Profile]) -> Profile:
    return max(found, key=lambda one: one.retention_years or 0)


def _counted_from(case: Case) -> tuple[date, str]:
    """The day of delivery; of a case that was never delivered, the day on which it ended."""
    report = getattr(case, "delivery", None)
    if report and report.delivered_on:
        return report.delivered_on, "delivered"
    return timezone.localdate(case.stage_since), str(case.get_stage_display()).lower()
