"""The tooth stock as a table of text: reading a file row by row.

Comma or semicolon, UTF-8 with or without a mark at its start, quoted as RFC 4180 says. Arch and
part stand in words; a tooth number is never read, because eighteen of them are legal in both
notations.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Any

from labcases.domain.cells import unguarded
from labcases.domain.stock import tidy
from labcases.enums import Arch, SetUpPart, ToothMaterial
from labcases.models import ToothSet
from labcases.validators import limits_of

MOST_ROWS = 50_000
MOST_SETS = 10_000

COLUMNS = (
    *("line", "arch", "part", "mould", "shade", "material", "lot", "cusp_angle_deg"),
    *("together_mm", "shell_min_mm", "expires_on", "shelf", "count"),
)
MAY_BE_EMPTY = frozenset(
    {"lot", "cusp_angle_deg", "together_mm", "shell_min_mm", "expires_on", "shelf"}
)


class Unreadable(Exception):
    """The file as a whole cannot be read; the sentence says why and what to do."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """One cell that cannot be read: in which column, and a sentence."""

    column: str
    text: str


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a file: its number as a spreadsheet counts, and its values or refusals."""

    number: int
    values: tuple[Any, ...]
    refusals: tuple[Refusal, ...] = ()


def shown(value: Any) -> str:
    """A value as it stands in a cell: no trailing noughts, and days as 2028-05-31."""
    if value is None:
        return ""
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    return value.isoformat() if isinstance(value, date) else str(value)


# -- reading ----------------------------------------------------------------------------------


def read(content: bytes) -> list[Row]:
    """Every row of a file, with what is wrong with its cells.

    Raises
    ------
    Unreadable
        Encoding, first row, quotes or number of rows are not as a file of the stock has them.
    """
    text = _decoded(content)
    first = text.partition("\n")[0]
    separator = ";" if first.count(";") > first.count(",") else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    found: list[Row] = []
    places: list[int] = []
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            if number == 1:
                places = _places(cells)
            elif any(cell.strip() for cell in cells):
                if len(found) == MOST_ROWS:
                    raise Unreadable(
                        f"The file has more than {MOST_ROWS} rows. Split it and take the parts in "
                        "one after the other."
                    )
                found.append(_row(number, cells, places))
    except csv.Error as error:
        raise Unreadable(
            f"Row {number + 1} cannot be read as a table ({error}). Look at the quotes in it: a "
            "quote inside a quoted cell is written twice."
        ) from None
    if not found:
        raise Unreadable("The file names its columns and holds no row. Choose another file.")
    return found


def _decoded(content: bytes) -> str:
    if not content.strip():
        raise Unreadable("The file is empty. Choose another one.")
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise Unreadable("The file is UTF-16. Save it as CSV in UTF-8 and choose it again.")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = content.count(b"\n", 0, error.start) + 1
        raise Unreadable(
            f"The file is not UTF-8: row {row} holds the byte {content[error.start]:02X}. Save it "
            "as CSV in UTF-8 and choose it again."
        ) from None
    if "\0" in text:
        raise Unreadable(
            "The file holds NUL characters, so it is no text. Save it as CSV in UTF-8."
        )
    return text


def _places(cells: list[str]) -> list[int]:
    """Where each column stands in the rows of this file."""
    names = [cell.strip().casefold() for cell in cells]
    wanted = f"The first row names the columns: {', '.join(COLUMNS)}."
    if len(names) == 1 and "\t" in names[0]:
        raise Unreadable(f"The cells are separated by tabs. Use comma or semicolon. {wanted}")
    if {"tooth", "teeth"} & set(names):
        raise Unreadable(
            f"Teeth are never read by number here; say arch and part in words. {wanted}"
        )
    odd = [name or "an empty one" for name in names if name not in COLUMNS]
    lacking = [name for name in COLUMNS if name not in names]
    if lacking:
        raise Unreadable(f"The first row lacks {', '.join(lacking)}. {wanted}")
    if odd:
        raise Unreadable(
            f"The first row has columns that are not known: {', '.join(odd)}. {wanted}"
        )
    if len(set(names)) < len(names):
        twice = sorted({name for name in names if names.count(name) > 1})
        raise Unreadable(f"The first row names {', '.join(twice)} twice. {wanted}")
    return [names.index(name) for name in COLUMNS]


def _row(number: int, cells: list[str], places: list[int]) -> Row:
    if len(cells) != len(places):
        text = f"The row has {len(cells)} cells, the first row {len(places)}."
        return Row(number, (), (Refusal("row", text),))
    values, refusals = [], []
    for name, place in zip(COLUMNS, places, strict=True):
        try:
            values.append(_value(name, tidy(unguarded(cells[place]))))
        except ValueError as refused:
            refusals.append(Refusal(name, str(refused)))
    if not refusals and values[2] == SetUpPart.ANTERIOR and values[7] is not None:
        refusals.append(Refusal("cusp_angle_deg", "Anterior teeth have no cusp angle."))
    return Row(number, tuple(values) if not refusals else (), tuple(refusals))


def _value(name: str, text: str) -> Any:
    if not text:
        if name not in MAY_BE_EMPTY:
            raise ValueError("It is empty. Enter it.")
        return "" if name in ("lot", "shelf") else None
    return _READ.get(name, _text)(name, text)


def _text(name: str, text: str) -> str:
    column: Any = ToothSet._meta.get_field(name)
    longest = column.max_length
    if len(text) > longest:
        raise ValueError(f"It has {len(text)} characters. Enter up to {longest}.")
    return text


def _choice(name: str, text: str) -> str:
    allowed = {"arch": Arch, "part": SetUpPart, "material": ToothMaterial}[name].values
    if text.casefold() not in allowed:
        raise ValueError(
            f"It says {_short(text)}. Enter {', '.join(allowed[:-1])} or {allowed[-1]}."
        )
    return text.casefold()


def _number(name: str, text: str) -> Decimal:
    column: Any = ToothSet._meta.get_field(name)
    low, high = LIMITS[name]
    unit = name.rpartition("_")[2]
    asked = f"It says {_short(text)}. Enter {low} to {high} {unit}, as a number like 46.5."
    try:
        value = Decimal(text.replace(",", "."))
    except InvalidOperation:
        raise ValueError(asked) from None
    if not value.is_finite() or not low <= value <= high:
        raise ValueError(asked)
    places: int = column.decimal_places
    rounded: Decimal = round(value, places)
    if rounded != value:
        raise ValueError(f"It says {_short(text)}. Enter at most {places} decimals.")
    return rounded


def _count(_name: str, text: str) -> int:
    if not (text.isascii() and text.isdecimal()) or int(text[:9]) > MOST_SETS:
        raise ValueError(f"It says {_short(text)}. Enter a whole number from 0 to {MOST_SETS}.")
    return int(text)


def _day(_name: str, text: str) -> date:
    for form in ("%Y-%m-%d", "%d-%b-%Y"):
        try:
            found = datetime.strptime(text, form).date()  # noqa: DTZ007  (a day has no zone)
        except ValueError:
            continue
        if 2000 <= found.year <= 2100:
            return found
    raise ValueError(f"It says {_short(text)}. Enter a day like 2028-05-31 or 31-May-2028.")


def _short(text: str) -> str:
    return text if len(text) <= 30 else f"{text[:29]}\N{HORIZONTAL ELLIPSIS}"


LIMITS: dict[str, tuple[Decimal, Decimal]] = {
    "cusp_angle_deg": limits_of("cusp_angle_deg"),
    "together_mm": limits_of("teeth_together_mm"),
    "shell_min_mm": (Decimal(0), Decimal(10)),
}
_READ: dict[str, Callable[[str, str], Any]] = {
    **dict.fromkeys(("arch", "part", "material"), _choice),
    **dict.fromkeys(LIMITS, _number),
    "expires_on": _day,
    "count": _count,
}
