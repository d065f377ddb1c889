"""The teeth behind the walls: a set on a shelf of the laboratory, and one that a case holds."""

from __future__ import annotations

from typing import Any

from labcases.domain import stock_files, teeth_needed, tooth_orders
from labcases.domain.teeth_needed import Need
from labcases.enums import Arch, SetUpPart
from labcases.models import Case, User
from labcases.outputs import stock_csv
from tests.labcases.tooth_stock import on_shelf


def stocked(here: Any) -> dict[str, list[Any]]:
    """The tooth stock of the laboratory, with one kind of set; the office has none."""
    row = on_shelf(here, lot="W-1")
    file = stock_files.look(
        laboratory=here.laboratory, by=here.mona, content=stock_csv.content(here.laboratory)
    )
    return {
        "stock:laboratory": [here.laboratory.pk],
        "stock:office": [here.office.pk],
        "stock_add": [here.laboratory.pk],
        "stock_set": [row.pk],
        "stock_export:laboratory": [here.laboratory.pk],
        "stock_export:office": [here.office.pk],
        "stock_file_choose": [here.laboratory.pk],
        "stock_file": [file.pk],
    }


def teeth(case: Case, by: User) -> dict[str, int]:
    """A set that is here and that nobody asked for, so that it stands beside those of the case."""
    need = Need(Arch.LOWER, SetUpPart.ANTERIOR, ("41",))
    told = teeth_needed.wanted(case, need.part)
    row = tooth_orders.enter(case=case, need=need, by=by, values=told)
    return {"teeth_change": row.pk, "teeth_change:unknown": row.pk}
