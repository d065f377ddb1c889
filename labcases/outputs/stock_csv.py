"""The tooth stock as a file, in the columns that are taken in again."""

from __future__ import annotations

from labcases.domain.stock_table import COLUMNS, shown
from labcases.models import Organisation
from labcases.outputs import csv_file

#: By this mark at its start programs for tables know that a file is UTF-8.
MARK = b"\xef\xbb\xbf"


def content(laboratory: Organisation) -> bytes:
    """Every kind of set, also those of which none is on the shelf."""
    rows = laboratory.tooth_sets.iterator(chunk_size=1000)
    return MARK + csv_file.written(
        COLUMNS, ([shown(getattr(row, name)) for name in COLUMNS] for row in rows)
    )
