"""Techniques of processing, their steps and fields, and curing cycles, as data with sources.

Only figures that somebody read are written down; a cycle without any says "not read".
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from labcases.enums.curing import Technique
from labcases.reference import read

NOT_READ = "not read"
STARTS, CLOSED, ON, OFF, OPENED = "starts", "closed", "on", "off", "opened"
"""Roles of a step: what is in use from then on, the press, the heat on and off, the end."""


@dataclass(frozen=True)
class Phase:
    """One part of a cycle: so many minutes, at a temperature where one is said."""

    minutes: int
    celsius: Decimal | None = None


@dataclass(frozen=True)
class Cycle:
    """A curing cycle with the waiting before it and the cooling after it, in minutes.

    ``dwell`` is the least and the most time in the press before the heat. A cycle without
    phases is one of which nothing was read. ``boiling_start`` says that the instructions of
    the material let it begin in boiling water.
    """

    key: str
    label: str
    phases: tuple[Phase, ...]
    dwell: tuple[int, int]
    bench_minutes: int
    water_minutes: int
    boiling_start: bool
    cited: str

    @property
    def cure_minutes(self) -> int:
        return sum(phase.minutes for phase in self.phases)

    @property
    def was_read(self) -> bool:
        return bool(self.phases)


@dataclass(frozen=True)
class Step:
    """One step of a technique, in the order of the work."""

    key: str
    label: str
    role: str = ""
    needed: bool = False


@dataclass(frozen=True)
class Asked:
    """One field of a technique: a text, a number from ``low`` to ``high``, or one of a list."""

    key: str
    label: str
    help: str = ""
    unit: str = ""
    low: int | None = None
    high: int | None = None
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Way:
    """A technique: what it is for, where it is done, what it asks, and its steps."""

    technique: Technique
    materials: tuple[str, ...]
    flask: str
    place: str
    cures: bool
    needed: tuple[str, ...]
    steps: tuple[Step, ...]
    fields: tuple[Asked, ...]

    def step(self, key: str) -> Step:
        """The step of a key; a key that the file no longer has names itself."""
        return next((one for one in self.steps if one.key == key), Step(key, key.capitalize()))

    def of_role(self, role: str) -> Step | None:
        return next((one for one in self.steps if one.role == role), None)

    def order(self, key: str) -> int:
        return next((n for n, one in enumerate(self.steps) if one.key == key), len(self.steps))


@dataclass(frozen=True)
class Told:
    """A sentence with its sources."""

    text: str
    cited: str


def _file() -> dict[str, Any]:
    return read("curing.toml")


def _cited(known: Iterable[Mapping[str, str]]) -> str:
    """The sources with how they were read: "lecture ... (quoted); notes ... (quoted)"."""
    sources = _file()["sources"]
    return "; ".join(
        f"{sources[row['source']]} ({row['how']})" if "source" in row else row["how"]
        for row in known
    )


def told(name: str) -> Told:
    """One of the sentences of the file: boiling, opened, cured, closures."""
    row = _file()[name]
    return Told(row["text"], _cited(row["known"]))


def boiling_celsius() -> Decimal:
    """From here on a first step counts as boiling water."""
    return Decimal(str(_file()["boiling"]["celsius"]))


def least_closures() -> int:
    return int(_file()["closures"]["least"])


def dwell() -> tuple[int, int]:
    """Least and most minutes in the press before the heat."""
    low, high = _file()["dwell"]["minutes"]
    return int(low), int(high)


def bench_minutes() -> int:
    """Minutes of cooling on the bench where no instructions say otherwise."""
    return int(_file()["cooling"]["bench_minutes"])


def water_minutes() -> int:
    return int(_file()["cooling"]["water_minutes"])


def dwell_cited() -> str:
    return _cited(_file()["dwell"]["known"])


def cooling_cited() -> str:
    return _cited(_file()["cooling"]["known"])


@cache
def ways() -> dict[Technique, Way]:
    """Every technique, in the order of the file."""
    return {
        Technique(row["key"]): Way(
            technique=Technique(row["key"]),
            materials=tuple(row["for"]),
            flask=row["flask"],
            place=row["place"],
            cures=row["cures"],
            needed=tuple(row["needed"]),
            steps=tuple(Step(**step) for step in row["steps"]),
            fields=tuple(
                Asked(**{**field, "choices": tuple(field.get("choices", ()))})
                for field in row["fields"]
            ),
        )
        for row in _file()["techniques"]
    }


def usual(material: str) -> Technique:
    """The technique that goes with a base material."""
    return next(
        (way.technique for way in ways().values() if material in way.materials), Technique.FLASK
    )


@cache
def cycles() -> dict[str, Cycle]:
    """Key -> cycle, in the order of the file; those without phases were not read."""
    return {row["key"]: _cycle(row) for row in _file()["cycles"]}


def of_technique(technique: str) -> list[Cycle]:
    """Cycles of a technique, read or not."""
    return [_cycle(row) for row in _file()["cycles"] if technique in row["of"]]


def _cycle(row: Mapping[str, Any]) -> Cycle:
    return Cycle(
        key=row["key"],
        label=row["label"],
        phases=tuple(
            Phase(int(one["minutes"]), Decimal(str(one["celsius"])))
            for one in row.get("phases", ())
        ),
        dwell=dwell(),
        bench_minutes=bench_minutes(),
        water_minutes=water_minutes(),
        boiling_start=False,
        cited=_cited(row["known"]),
    )
