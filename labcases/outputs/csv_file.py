"""Tables as files: RFC 4180, in UTF-8, and harmless to a program that counts formulas."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from labcases.domain.cells import guarded

CONTENT_TYPE = "text/csv; charset=utf-8; header=present"


def written(head: Iterable[str], rows: Iterable[Iterable[str]]) -> bytes:
    """The bytes of a table: a line of names, then a line a row, each ended by CR LF."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(head)
    for row in rows:
        writer.writerow([guarded(cell) for cell in row])
    return text.getvalue().encode()
