"""Invented sets on a shelf, and a case whose teeth are chosen but not here."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from labcases.domain import bench, stock, teeth_needed
from labcases.domain.teeth_needed import Need
from labcases.models import Case, ToothSet
from tests.factories import World

FRONT: dict[str, Any] = {
    "line": "Alder",
    "arch": "upper",
    "part": "anterior",
    "mould": "O-44",
    "shade": "B2",
    "material": "resin",
    "lot": "A-17",
    "together_mm": Decimal("46"),
    "shelf": "drawer 3",
    "count": 2,
}
BACK: dict[str, Any] = {
    "line": "Alder",
    "arch": "upper",
    "part": "posterior",
    "mould": "20 S",
    "shade": "B2",
    "material": "resin",
    "lot": "P-08",
    "cusp_angle_deg": Decimal("20"),
    "together_mm": Decimal("30"),
    "shelf": "drawer 5",
    "count": 1,
}
CHOSEN: dict[str, Any] = {
    "anterior_mould": "O-44",
    "posterior_mould": "20 S",
    "shade": "B2",
    "material": "resin",
    "cusp_angle_deg": Decimal("20"),
}


def on_shelf(cast: World, values: dict[str, Any] = FRONT, **more: Any) -> ToothSet:
    return stock.add(laboratory=cast.laboratory, by=cast.mona, values={**values, **more})


def chosen_case(cast: World, patient_code: str = "P-100", **selection: Any) -> Case:
    """An upper case, six front teeth and eight behind, prescribed in B2 resin."""
    walk = cast.walk(patient_code=patient_code)
    walk.prescribe()
    bench.save_selection(
        case=walk.reload(), version=0, by=cast.tomas, values={**CHOSEN, **selection}
    )
    return walk.reload()


def fresh(case: Case) -> Case:
    return Case.objects.get(pk=case.pk)


def front(case: Case) -> Need:
    return need(case, "upper-anterior")


def back(case: Case) -> Need:
    return need(case, "upper-posterior")


def need(case: Case, key: str) -> Need:
    found = teeth_needed.need_of(case, key)
    assert found is not None
    return found
