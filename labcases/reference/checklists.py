"""Checklists as data: what is asked, in which order, and where each line comes from.

A pause is 5 to 7 lines of at most 60 characters, so that it can be read aloud at the
chair in about a minute.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from labcases.enums import Stage, Thing
from labcases.enums.wax import WaxList
from labcases.reference import read

LINE_LENGTH = 60
PAUSE_LINES = range(5, 8)
LABORATORY = "laboratory"


@dataclass(frozen=True)
class Redo:
    """What is made again: in words, the stage that the case goes back to, what it unsays.

    Without ``to`` nothing goes back.
    """

    key: str
    text: str
    to: Stage | None = None
    undoes: tuple[Thing, ...] = ()


@dataclass(frozen=True)
class CheckLine:
    """One line of a checklist. ``key`` is what a stored answer hangs on; it never changes.

    ``arch`` names the arch that the line belongs to, or is empty for both. ``mark`` says how
    the source was read: R read, R2 quoted, CP common practice. ``needs`` names the values
    without which the line says nothing.
    """

    key: str
    text: str
    source: str
    mark: str = ""
    arch: str = ""
    redo: Redo | None = None
    needs: tuple[str, ...] = ()


@dataclass(frozen=True)
class Pause:
    """A point at which the work stops until its lines are answered."""

    key: str
    title: str
    lines: tuple[CheckLine, ...]
    who: str = ""


@cache
def redos() -> dict[str, Redo]:
    """Everything that a try-in can ask to be made again, by key."""
    return {
        key: Redo(
            key=key,
            text=row["text"],
            to=Stage(row["to"]) if "to" in row else None,
            undoes=tuple(Thing(name) for name in row.get("undoes", ())),
        )
        for key, row in read("tryin.toml")["redo"].items()
    }


@cache
def try_in_checklist(arch: str = "") -> tuple[Pause, ...]:
    """The posterior try-in, pause by pause, that of the bench first.

    Parameters
    ----------
    arch : str
        ``upper`` or ``lower`` leaves out the lines of the other arch; nothing keeps all.
    """
    told = read("tryin.toml")
    return pauses_of(told["pauses"], told["sources"], arch)


@cache
def wax_checklist(which: str, arch: str = "") -> tuple[Pause, ...]:
    """One of the two checklists of the final wax (``enums.wax.WaxList``), pause by pause."""
    told = read("final_wax.toml")
    return pauses_of(told[which], told["sources"], arch)


def bench_pauses(arch: str = "") -> tuple[Pause, ...]:
    """What the laboratory answers before the base leaves."""
    return tuple(pause for pause in try_in_checklist(arch) if pause.who == LABORATORY)


def mouth_pauses(arch: str = "") -> tuple[Pause, ...]:
    """What the dentist answers in the mouth and on the patient's own teeth."""
    return tuple(pause for pause in try_in_checklist(arch) if pause.who != LABORATORY)


def lines_of(pauses: tuple[Pause, ...]) -> tuple[CheckLine, ...]:
    return tuple(line for pause in pauses for line in pause.lines)


@cache
def line_texts() -> dict[str, str]:
    """Every line that is asked anywhere, by its key."""
    told = read("remount.toml")
    at_office = read("delivery.toml")
    reviewed = read("reviews.toml")
    at_reviews = [{"title": row["words"], **row} for row in reviewed["reviews"]]
    pauses = (
        *try_in_checklist(),
        *(pause for which in WaxList for pause in wax_checklist(which)),
        *pauses_of(told["pauses"], told["sources"]),
        *pauses_of(at_reviews, reviewed["sources"]),
        *pauses_of([*at_office["arrival"], *at_office["delivery"]], at_office["sources"]),
    )
    return {line.key: line.text for line in lines_of(pauses)}


def pauses_of(
    told: list[dict[str, Any]], sources: Mapping[str, Mapping[str, str]], arch: str = ""
) -> tuple[Pause, ...]:
    """Pauses as a file tells them; with an arch, without the lines of the other one."""
    return tuple(
        Pause(
            key=pause["key"],
            title=pause["title"],
            who=pause.get("who", ""),
            lines=tuple(
                CheckLine(
                    key=line["key"],
                    text=line["text"],
                    source=sources[line["source"]]["text"],
                    mark=sources[line["source"]]["mark"],
                    arch=line.get("arch", ""),
                    redo=redos()[line["redo"]] if "redo" in line else None,
                    needs=tuple(line.get("needs", ())),
                )
                for line in pause["lines"]
                if not arch or line.get("arch", arch) == arch
            ),
        )
        for pause in told
    )
