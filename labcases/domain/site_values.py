"""What counts at a site: its own numbers, or else those of the tooth line and of the houses.

Nothing is built in: where neither a site, nor the tooth selection, nor a house says a number,
there is none.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from labcases.models import Case, Organisation, SiteMeasure, ToothSelection

OF_THE_SHEET = ("tooth_height_mm", "shell_over_fossa_mm", "shell_min_mm")
FIELDS = ("base_min_mm", *OF_THE_SHEET)

AT_THE_SITE = "entered at this site"
BY_THE_TEETH = "tooth selection"


@dataclass(frozen=True)
class Counts:
    """A number that counts at a site, and where it comes from; both empty where none is said."""

    value_mm: Decimal | None = None
    origin: str = ""


NOTHING = Counts()


def at(case: Case, site: SiteMeasure | None) -> dict[str, Counts]:
    """Each of ``FIELDS`` at a site: its own number first, then what stands for the whole case."""
    common = defaults(case)
    own = {name: getattr(site, name) for name in FIELDS} if site else {}
    return {
        name: common[name] if own.get(name) is None else Counts(own[name], AT_THE_SITE)
        for name in FIELDS
    }


def at_tooth(case: Case, tooth: str) -> dict[str, Counts]:
    """The same by the number of the tooth."""
    found = [site for site in case.sites.all() if site.tooth == tooth]
    return at(case, found[0] if found else None)


def defaults(case: Case) -> dict[str, Counts]:
    """What counts at every site that has no number of its own."""
    selection: ToothSelection | None = getattr(case, "selection", None)
    found = {"base_min_mm": next(_bases(case), NOTHING)}
    for name in OF_THE_SHEET:
        value = getattr(selection, name) if selection else None
        found[name] = NOTHING if value is None else Counts(value, BY_THE_TEETH)
    return found


def _bases(case: Case) -> Iterator[Counts]:
    """The least base of the houses; who prescribes goes before who makes."""
    houses: tuple[Organisation, ...] = (case.office, case.laboratory)
    for house in houses:
        if house.base_min_mm is not None:
            yield Counts(house.base_min_mm, f"least base of {house.name}")
