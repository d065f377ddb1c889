"""What can go wrong, as data: who reports it, when it can happen, what it takes back.

The rows stand in ``incidents.toml``; a row that names a stage, a thing or a role that does not
exist is refused when the file is read.
"""

from __future__ import annotations

import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from django.db.models import TextChoices

from labcases.enums import ENDS, Position, Route, Side, Stage
from labcases.enums.incidents import IncidentEffect, IncidentGroup, Thing

ASKS = ("cast", "teeth", "allergy", "day")
"""Details that a row may ask for beside its words."""

REVISED = ("teeth", "opposing", "shade", "mould", "allergy")
"""Fields of the prescription that an incident may ask the dentist to revise."""

Choice = TypeVar("Choice", bound=TextChoices)


class IncidentTableError(ValueError):
    """A row of the table says something that this program does not understand."""


@dataclass(frozen=True)
class Way:
    """One way in which it can happen. ``returns`` is empty where the case stays.

    With ``revision`` the case stays as well, until the dentist signs a revision of that field;
    the signature brings it to ``returns``.
    """

    stages: tuple[Stage, ...]
    houses: tuple[Side, ...]
    routes: tuple[Route, ...]
    answer: str
    returns: Stage | None
    undoes: tuple[Thing, ...]
    revision: str

    def fits(self, *, stage: Stage, route: Route, houses: Collection[Side]) -> bool:
        return stage in self.stages and route in self.routes and bool(set(houses) & {*self.houses})

    def goes_to(self, stage: Stage) -> Stage:
        """Where a case of this stage stands in the end; it never goes forward but to an end."""
        order = list(Stage)
        if self.returns is None:
            return stage
        if self.returns == Stage.CANCELLED:
            return self.returns
        return min(stage, self.returns, key=order.index)


@dataclass(frozen=True)
class Kind:
    """One row: what happened, in plain words, and everything that hangs on it."""

    key: str
    title: str
    group: IncidentGroup
    source: str
    who: tuple[Position, ...]
    told: tuple[Side, ...]
    now: tuple[str, ...]
    ways: tuple[Way, ...]
    effect: IncidentEffect = IncidentEffect.NONE
    asks: tuple[str, ...] = ()
    question: str = ""
    answers: Mapping[str, str] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()

    def ways_at(
        self, *, stage: Stage, route: Route, houses: Collection[Side] = tuple(Side)
    ) -> list[Way]:
        """The ways in which it can happen at a stage, seen from these houses."""
        if stage == Stage.TRY_IN and route == Route.INTERIM:
            return []
        return [way for way in self.ways if way.fits(stage=stage, route=route, houses=houses)]

    def answers_at(self, ways: Iterable[Way], stage: Stage) -> dict[str, str]:
        """The answers that make sense there; none where the case has ended."""
        named = {way.answer for way in ways}
        if stage in ENDS:
            return {}
        return {key: words for key, words in self.answers.items() if {key, ""} & named}


@cache
def kinds() -> dict[str, Kind]:
    """Every row by its key, in the order of the file."""
    with Path(__file__).with_name("incidents.toml").open("rb") as file:
        return load(tomllib.load(file))


def load(told: Mapping[str, Any]) -> dict[str, Kind]:
    """Read the table.

    Raises
    ------
    IncidentTableError
        A row names what does not exist, or leaves out what it needs.
    """
    sources = told.get("sources", {})
    found: dict[str, Kind] = {}
    for row in told.get("incidents", ()):
        kind = _kind(row, sources)
        if kind.key in found:
            raise IncidentTableError(f"Two rows are called {kind.key}. Give each its own key.")
        found[kind.key] = kind
    return found


_NEEDED = frozenset({"key", "title", "group", "source", "who", "told", "now", "ways"})
_MAY = frozenset({"effect", "asks", "question", "answers", "cautions"})
_OF_A_WAY = frozenset({"from", "to", "house", "route", "answer", "returns", "undoes", "revision"})


def _kind(row: Mapping[str, Any], sources: Mapping[str, str]) -> Kind:
    key = row.get("key", "a row without a key")
    lacks, odd = _NEEDED - set(row), set(row) - _NEEDED - _MAY
    if lacks or odd:
        raise IncidentTableError(
            f"{key}: lacks {_list(lacks)}; does not know {_list(odd)}. See the rows around it."
        )
    if row["source"] not in sources:
        raise IncidentTableError(f"{key}: there is no source {row['source']}.")
    odd = set(row.get("asks", ())) - set(ASKS)
    if odd:
        raise IncidentTableError(f"{key}: asks for {_list(odd)}. Allowed: {_list(ASKS)}.")
    answers = row.get("answers", {})
    if bool(answers) != bool(row.get("question")):
        raise IncidentTableError(f"{key}: a question needs answers, and answers a question.")
    return Kind(
        key=key,
        title=row["title"],
        group=_one(IncidentGroup, row["group"], key),
        source=sources[row["source"]],
        who=tuple(_one(Position, one, key) for one in row["who"]),
        told=tuple(_one(Side, one, key) for one in row["told"]),
        now=tuple(row["now"]),
        ways=tuple(_way(way, key, answers) for way in row["ways"]),
        effect=_one(IncidentEffect, row.get("effect", "none"), key),
        asks=tuple(row.get("asks", ())),
        question=row.get("question", ""),
        answers=answers,
        cautions=tuple(row.get("cautions", ())),
    )


def _way(row: Mapping[str, Any], key: str, answers: Mapping[str, str]) -> Way:
    odd = set(row) - _OF_A_WAY
    if odd or "from" not in row or "to" not in row:
        raise IncidentTableError(f"{key}: a way needs from and to, and does not know {_list(odd)}.")
    answer, revision = row.get("answer", ""), row.get("revision", "")
    if answer and answer not in answers:
        raise IncidentTableError(f"{key}: {answer} is none of its answers: {_list(answers)}.")
    if revision and revision not in REVISED:
        raise IncidentTableError(f"{key}: nobody revises {revision}. Allowed: {_list(REVISED)}.")
    return Way(
        stages=tuple(_span(row["from"], row["to"], key)),
        houses=(_one(Side, row["house"], key),) if "house" in row else tuple(Side),
        routes=(_one(Route, row["route"], key),) if "route" in row else tuple(Route),
        answer=answer,
        returns=_one(Stage, row["returns"], key) if "returns" in row else None,
        undoes=tuple(_one(Thing, one, key) for one in row.get("undoes", ())),
        revision=revision,
    )


def _span(first: str, last: str, key: str) -> Iterator[Stage]:
    order = list(Stage)
    start, end = (order.index(_one(Stage, one, key)) for one in (first, last))
    if end < start:
        raise IncidentTableError(f"{key}: {last} does not come after {first}.")
    yield from order[start : end + 1]


def _one(choices: type[Choice], value: str, key: str) -> Choice:
    try:
        return choices(value)
    except ValueError:
        noun = {Position: "role", Side: "house"}.get(choices, choices.__name__.lower())
        raise IncidentTableError(
            f"{key}: there is no {noun} {value!r}. Allowed: {_list(choices.values)}."
        ) from None


def _list(words: Iterable[str]) -> str:
    return ", ".join(sorted(words)) or "nothing"
