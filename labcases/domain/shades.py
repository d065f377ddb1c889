"""The shade systems of an office: its own lists of codes, held against what is prescribed.

No maker's table is built in. An office writes a line a system, the name before a colon and its
codes behind it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from labcases.models import Organisation, Prescription

LONGEST_NAME = 60
LONGEST_CODE = 30
SHOWN = 24
"""As many codes as a sentence still lists."""

HOW = "Write the name of the system, a colon, then its codes with commas between."


class NotRead(ValueError):
    """A line that says no system with its codes; the text says which line and how to write it."""


def read(text: str) -> dict[str, tuple[str, ...]]:
    """System -> its codes, each once, in the order in which they are written.

    Raises
    ------
    NotRead
        A line without a name or codes, too long a one, or a system that stands twice.
    """
    found: dict[str, tuple[str, ...]] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        name, colon, rest = (_plain(part) for part in line.partition(":"))
        codes = list(dict.fromkeys(filter(None, (_plain(c) for c in re.split("[,;]", rest)))))
        if not name or not colon or not codes:
            raise NotRead(f'Line {number}, "{line.strip()}", has no name or no codes. {HOW}')
        if any(_same(name, other) for other in found):
            raise NotRead(
                f"Line {number}: {name} stands twice. Write all codes of a system on one line."
            )
        long = [code for code in codes if len(code) > LONGEST_CODE]
        if len(name) > LONGEST_NAME or long:
            raise NotRead(
                f"Line {number}: {long[0] if long else name} is too long. A name has up to "
                f"{LONGEST_NAME} characters, a code up to {LONGEST_CODE}. {HOW}"
            )
        found[name] = tuple(codes)
    return found


def systems(office: Organisation) -> dict[str, tuple[str, ...]]:
    """What an office has on its list; nothing where it keeps none."""
    return read(office.shade_systems)


def codes_of(office: Organisation, system: str) -> tuple[str, ...]:
    """The codes of a system, whatever its capitals; nothing where the office does not list it."""
    listed = systems(office).items()
    return next((codes for name, codes in listed if _same(name, system)), ())


def as_listed(row: Prescription, values: Mapping[str, Any]) -> dict[str, Any]:
    """Shade and system of ``values`` in the writing of the office's list: "a2" becomes "A2".

    What is on no list is not touched; where only one of the two is said, the other is the row's.
    """
    if row.case.office_id is None or not {"shade", "shade_system"} & set(values):
        return {}
    said = {name: values.get(name, getattr(row, name)) for name in ("shade_system", "shade")}
    for name, codes in systems(row.case.office).items():
        if said["shade_system"] and _same(name, str(said["shade_system"])):
            code = next((one for one in codes if _same(one, str(said["shade"]))), said["shade"])
            return {"shade_system": name, "shade": code}
    return {}


def stranger(row: Prescription) -> str:
    """Why the shade is not one of its system, as a sentence; empty where nothing says so."""
    if row.case.office_id is None or not row.shade:
        return ""
    codes = codes_of(row.case.office, row.shade_system)
    if not codes or any(_same(row.shade, code) for code in codes):
        return ""
    more = ", ..." if len(codes) > SHOWN else ""
    return (
        f"Shade {row.shade} is not among the codes of {row.shade_system} that the office lists: "
        f"{', '.join(codes[:SHOWN])}{more}. Choose one of them, name another system, or have the "
        "list of the office changed."
    )


def unlisted(row: Prescription) -> str:
    """That the system is on no list of the office, although it keeps one."""
    if row.case.office_id is None or not row.shade_system:
        return ""
    listed = systems(row.case.office)
    if not listed or codes_of(row.case.office, row.shade_system):
        return ""
    return (
        f"The office lists no shade system called {row.shade_system}, so nothing checks the code. "
        f"It lists: {', '.join(listed)}."
    )


def _plain(text: str) -> str:
    return " ".join(text.split())


def _same(one: str, other: str) -> bool:
    return _plain(one).casefold() == _plain(other).casefold()
