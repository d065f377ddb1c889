"""Curing cycles: those that were read of, and a laboratory's own by a material's instructions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction

from labcases.domain import access
from labcases.domain.stock import tidy
from labcases.enums.curing import Technique
from labcases.models import CuringCycle, Organisation, User
from labcases.reference import curing
from labcases.reference.curing import Cycle, Phase

KEEP = "keep the curing cycles"
OWN = "own-"
BOILING_CODE = "boiling-start"


class Overtaken(Exception):
    """Somebody else wrote an edition first, or a cycle of that name stands already."""


def may_keep(user: User, organisation: Organisation) -> bool:
    """Technicians and managers of a laboratory; an office cures nothing."""
    return organisation.is_laboratory and access.may_in(user, KEEP, organisation)


# -- a laboratory's own -----------------------------------------------------------------------


def add(*, laboratory: Organisation, by: User, values: Mapping[str, Any]) -> CuringCycle:
    """Enter a cycle as the instructions of a material say it.

    Raises
    ------
    Overtaken
        A cycle of this material and name is entered already.
    """
    return _write(laboratory, 1, by, values)


def change(*, row: CuringCycle, by: User, values: Mapping[str, Any], why: str) -> CuringCycle:
    """Write the next edition of a cycle; records that were made by an earlier one keep that.

    ``row`` is the edition that the person had in front of them; material and name stay.

    Raises
    ------
    ValueError
        Nothing changes, or no reason is given.
    Overtaken
        Somebody wrote the next edition first.
    """
    stands = {name: getattr(row, name) for name in values}
    if stands == dict(values):
        raise ValueError("Nothing is changed. Change what differs, or leave the page.")
    if not why.strip():
        raise ValueError("Give the reason why the cycle changes.")
    keep = ("technique", "dwell_minutes", "bench_minutes", "water_minutes", "boiling_start")
    whole = {name: getattr(row, name) for name in (*keep, "phases", "instructions", "in_use")}
    names = {"material": row.material, "name": row.name}
    return _write(
        row.laboratory, row.edition + 1, by, {**whole, **values, **names}, why=why.strip()
    )


def _write(
    laboratory: Organisation, edition: int, by: User, values: Mapping[str, Any], why: str = ""
) -> CuringCycle:
    told = {
        name: tidy(value) if isinstance(value, str) else value for name, value in values.items()
    }
    try:
        with transaction.atomic():
            return CuringCycle.objects.create(
                laboratory=laboratory, edition=edition, by=by, why=why, **told
            )
    except IntegrityError:
        stored = CuringCycle.objects.get(
            laboratory=laboratory, material=told["material"], name=told["name"], edition=edition
        )
        raise Overtaken(
            f"{stored.by} wrote {stored} already. Look at that one before you go on."
        ) from None


def editions(row: CuringCycle) -> list[CuringCycle]:
    """Every edition of a cycle, the last first."""
    return list(
        CuringCycle.objects.filter(
            laboratory=row.laboratory_id, material=row.material, name=row.name
        )
        .select_related("by")
        .order_by("-edition")
    )


def last_editions(laboratory: Organisation) -> list[CuringCycle]:
    """The last edition of each cycle of a laboratory, out of use or not."""
    found: dict[tuple[str, str], CuringCycle] = {}
    for row in laboratory.curing_cycles.select_related("by").order_by("edition"):
        found[row.material, row.name] = row
    return sorted(found.values(), key=lambda row: (row.material, row.name))


# -- all of them --------------------------------------------------------------------------------


def find(key: str) -> Cycle | None:
    """The cycle that a record names; nothing where none is chosen or it is not known."""
    if key.startswith(OWN):
        number = key.removeprefix(OWN)
        row = CuringCycle.objects.filter(pk=number).first() if number.isdecimal() else None
        return None if row is None else as_cycle(row)
    return curing.cycles().get(key)


def as_cycle(row: CuringCycle) -> Cycle:
    return Cycle(
        key=f"{OWN}{row.pk}",
        label=str(row),
        phases=tuple(
            Phase(int(minutes), None if celsius is None else Decimal(str(celsius)))
            for minutes, celsius in row.phases
        ),
        dwell=(row.dwell_minutes, row.dwell_minutes),
        bench_minutes=row.bench_minutes,
        water_minutes=row.water_minutes,
        boiling_start=row.boiling_start,
        cited=f"instructions of the material, as the laboratory cites them: {row.instructions}",
    )


def to_choose(laboratory: Organisation, technique: str) -> list[Cycle]:
    """Cycles that a record of a technique may name: the laboratory's own first."""
    own = [
        as_cycle(row)
        for row in last_editions(laboratory)
        if row.in_use and row.technique == technique
    ]
    return [*own, *(cycle for cycle in curing.of_technique(technique) if cycle.was_read)]


def begins_boiling(cycle: Cycle) -> bool:
    """Whether it goes straight into boiling water and its instructions do not say so."""
    first = cycle.phases[0].celsius if cycle.phases else None
    return first is not None and first >= curing.boiling_celsius() and not cycle.boiling_start


def phases_of(pairs: Iterable[tuple[int, Decimal | None]]) -> list[list[Any]]:
    """Minutes and temperatures as the database keeps them."""
    return [[minutes, None if at is None else float(at)] for minutes, at in pairs]


def techniques() -> list[Technique]:
    """Techniques that cure by a cycle."""
    return [technique for technique, way in curing.ways().items() if way.cures]
