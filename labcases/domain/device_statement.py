"""The statement that goes with a denture: by place, drawn up before it leaves, and kept.

What a place asks is data (``reference/statement.toml``), only of texts that were read. Not legal
advice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any

from labcases import codes
from labcases.domain import history, profiles, retention, teeth, teeth_needed
from labcases.domain.profiles import STRICT, Profile
from labcases.domain.striking import strike_out
from labcases.models import Case, DeviceStatement, User
from labcases.reference import told_statement

PART = "device statement"
ADVICE = "Not legal advice. Check the text that is in force in your place."
NONE = "none"


class NotDrawnUp(Exception):
    """The statement is not drawn up; the text says why and what to do."""


class Asks(StrEnum):
    """How a place stands to one item."""

    ASKED = "asked"
    NOT_ASKED = "not asked"
    NOT_READ = "not read"


@dataclass(frozen=True)
class Told:
    """One item: its number, key and words."""

    number: int
    key: str
    words: str


@dataclass(frozen=True)
class Row:
    """One item of a statement as it is printed, and for which places."""

    number: int
    key: str
    words: str
    text: str
    places: tuple[str, ...]


# --- the table -----------------------------------------------------------------------------------


@cache
def items() -> tuple[Told, ...]:
    """Every item that any place asks to be told, in order."""
    told = told_statement()
    return tuple(
        Told(one["number"], one["key"], one["words"])
        for one in (*told["items"], *told["disclosed"])
    )


@cache
def table() -> dict[str, dict[str, Asks]]:
    """Profile -> item -> whether it is asked; the strict one asks what any of them asks."""
    keys = [one.key for one in items()]
    found: dict[str, dict[str, Asks]] = {}
    for row in told_statement()["asked"]:
        unread = keys if row.get("not_read") == "all" else row.get("not_read", ())
        found[row["profile"]] = {
            key: Asks.ASKED
            if key in row.get("asks", ())
            else Asks.NOT_READ
            if key in unread
            else Asks.NOT_ASKED
            for key in keys
        }
    found[STRICT] = {
        key: Asks.ASKED if any(one[key] == Asks.ASKED for one in found.values()) else Asks.NOT_READ
        for key in keys
    }
    return found


def not_read(profile: str) -> list[str]:
    """Items of which nobody has read what this place asks."""
    return [one.words for one in items() if table()[profile][one.key] == Asks.NOT_READ]


def source_of(profile: str) -> str:
    """Where it was read what this place asks; the strict one stands on the others."""
    for row in told_statement()["asked"]:
        if row["profile"] == profile:
            return str(row["source"])
    return "the other places together, each with its own source"


def asking(case: Case) -> list[Profile]:
    """Of what office and laboratory chose, the places that ask for anything with the denture."""
    return [one for one in profiles.chosen(case) if Asks.ASKED in table()[one.key].values()]


def asked_items(case: Case) -> list[tuple[Told, tuple[str, ...]]]:
    """Each item that is asked of this case, and by which places."""
    found = []
    for item in items():
        places = tuple(
            one.title for one in asking(case) if table()[one.key][item.key] == Asks.ASKED
        )
        if places:
            found.append((item, places))
    return found


# --- what stands in it ---------------------------------------------------------------------------


def rows(case: Case, values: Mapping[str, Any]) -> list[Row]:
    """The rows of a statement as they would be printed with these values."""
    return [
        Row(item.number, item.key, item.words, _TEXTS[item.key](case, values), places)
        for item, places in asked_items(case)
    ]


def _named(house: Any) -> str:
    return ", ".join(one for one in (house.name.strip(), house.address.strip()) if one)


def _maker(case: Case, values: Mapping[str, Any]) -> str:
    sites = str(values.get("sites", "")).strip()
    own = _named(case.laboratory) if case.laboratory.address.strip() else ""
    return f"{own}; also made at: {sites}" if own and sites else own


def _prescriber(case: Case, _values: Mapping[str, Any]) -> str:
    row = case.prescription
    return ", ".join(one for one in (row.signed_name, _named(case.office)) if one)


def _features(case: Case, _values: Mapping[str, Any]) -> str:
    row = case.prescription
    told = (
        f"{row.get_arch_display().lower()} immediate denture",
        f"teeth {' '.join(teeth.replaced(row))} (ISO 3950)",
        f"shade {row.shade}" if row.shade else "",
        f"mould: {row.mould}" if row.mould else "",
        f"scheme: {row.get_scheme_display().lower()}" if row.scheme else "",
        f"flange: {row.get_flange_display().lower()}" if row.flange else "",
        f"prescription revision {row.revision}",
    )
    return "; ".join(one for one in told if one)


def _conformity(_case: Case, values: Mapping[str, Any]) -> str:
    unmet = str(values.get("unmet", "")).strip()
    said = "It meets the general safety and performance requirements of Annex I"
    return f"{said}, except: {unmet}" if unmet else f"{said}."


def _materials(case: Case, _values: Mapping[str, Any]) -> str:
    row = case.prescription
    base = row.get_base_material_display() if row.base_material else ""
    handoff = case.handoffs.last()
    if handoff is not None:
        lot = f", lot {handoff.base_lot}" if handoff.base_lot else ""
        base = f"{handoff.get_base_material_display()}: {handoff.base_product}{lot}"
    own = row.get_tooth_material_display() if row.tooth_material else ""
    lots = teeth_needed.lots(case)
    return "; ".join(one for one in (f"base {base}" if base else "", f"teeth {own}", lots) if one)


_TEXTS: dict[str, Callable[[Case, Mapping[str, Any]], str]] = {
    "maker": _maker,
    "representative": lambda _case, values: str(values.get("representative", "")).strip() or NONE,
    "identification": lambda case, _values: (
        f"case {codes.grouped(case.code)}, {case.prescription.get_arch_display().lower()}"
    ),
    "patient": lambda case, _values: (
        f"for the exclusive use of one patient, patient code {case.patient.code}"
    ),
    "prescriber": _prescriber,
    "features": _features,
    "conformity": _conformity,
    "substances": lambda _case, values: str(values.get("substances", "")).strip() or NONE,
    "materials": _materials,
    "certificates": lambda _case, values: str(values.get("certificates", "")).strip(),
    "origin": lambda _case, values: str(values.get("origin", "")).strip(),
    "contact": lambda case, _values: _named(case.laboratory),
}

_MEND = {
    "maker": "Enter the address of the laboratory.",
    "prescriber": "The prescription is not signed.",
    "certificates": "Name the certificates of the materials.",
    "origin": "Say where the denture was made.",
}


# --- verbs ---------------------------------------------------------------------------------------


def draw_up(*, case: Case, by: User, values: Mapping[str, Any]) -> DeviceStatement:
    """Freeze the statement for the revision in force; one that stood before is struck out.

    Raises
    ------
    NotDrawnUp
        No chosen place asks for one, or something that is asked is missing.
    """
    with history.turn(case):
        found = rows(case, values)
        if not found:
            raise NotDrawnUp("No place that office or laboratory chose asks for a statement.")
        lacking = [row for row in found if not row.text]
        if lacking:
            first = lacking[0]
            raise NotDrawnUp(_MEND.get(first.key, f"Missing: {first.words}."))
        last = standing(case)
        if last is not None:
            strike(row=last, reason="another one is drawn up", by=by)
        row = DeviceStatement.objects.create(
            case=case,
            by=by,
            number=case.statements.count() + 1,
            revision=case.prescription.revision,
            profiles=[one.key for one in asking(case)],
            items=[
                {
                    "number": one.number,
                    "words": one.words,
                    "text": one.text,
                    "places": list(one.places),
                }
                for one in found
            ],
            kept=retention.in_words(case),
        )
        history.write_line(row=row, part=PART, line=in_words(row), by=by)
    return row


def strike(*, row: DeviceStatement, reason: str, by: User) -> DeviceStatement:
    """Strike a statement out, with a reason; it stays readable."""
    return strike_out(row=row, part=PART, line=in_words(row), reason=reason, by=by)


def in_words(row: DeviceStatement) -> str:
    return f"statement {row.number}, for revision {row.revision}"


def standing(case: Case) -> DeviceStatement | None:
    """The last statement that was not struck out."""
    found = [row for row in case.statements.all() if row.struck_at is None]
    return found[-1] if found else None


def outdated(case: Case, row: DeviceStatement) -> str:
    """Why a statement no longer says what is so; empty while it does."""
    now = case.prescription.revision
    if row.revision != now:
        return f"It was drawn up for revision {row.revision}, and revision {now} is in force."
    if row.profiles != [one.key for one in asking(case)]:
        return "Office or laboratory have chosen another place since."
    return ""
