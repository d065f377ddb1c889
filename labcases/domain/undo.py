"""Undoing an act: by whom, as long as nothing stands on it, and always with an entry of its own.

``domain/acts.py`` says how each act is undone. Nothing is taken out of the history.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Any

from labcases.domain import access, history, ways_back
from labcases.domain.acts import UNDID, Way, act_of
from labcases.domain.ways_back import CannotUndo
from labcases.enums import Position
from labcases.models import Case, HistoryEntry, Membership, User

__all__ = ["CannotUndo", "Hands", "NotYours", "State", "offered", "undo", "why_not"]

#: Parts in which something may happen beside the work without standing on it.
BESIDE = frozenset({"question", "dates", "case", "photographs and papers"})


class NotYours(Exception):
    """The act is somebody else's, or no longer for one's role."""


@dataclass(frozen=True)
class State:
    """What of a case's history tells which acts can be undone, read once for many entries."""

    undone: frozenset[int]
    moved: int
    latest: dict[str, int]

    @classmethod
    def of(cls, case: Case) -> State:
        rows = case.history.filter(act=UNDID).values_list("row", flat=True)
        undone = frozenset(row["undid"] for row in rows if row)
        found = case.history.exclude(act=UNDID).order_by().values_list("part", "sequence")
        latest: dict[str, int] = {}
        moved = 0
        for part, sequence in found:
            if sequence in undone:
                continue
            latest[part] = max(latest.get(part, 0), sequence)
            moved = max(moved, sequence) if part == "stage" else moved
        return cls(undone, moved, latest)


@dataclass(frozen=True)
class Hands:
    """What a person may do on a case, and who works in its laboratory; read once for a page."""

    user: User
    positions: frozenset[Position]
    laboratory: frozenset[int]

    @classmethod
    def of(cls, user: User, case: Case) -> Hands:
        working = Membership.objects.filter(
            organisation=case.laboratory_id, active=True, role__in=access.LABORATORY_ROLES
        ).values_list("user", flat=True)
        return cls(user, access.positions(user, case), frozenset(working))

    def may(self, entry: HistoryEntry) -> bool:
        """One's own act while one's role still has it; of the laboratory's, its manager any."""
        act = act_of(entry.part, entry.act)
        if act.may and not any(self.positions & access.MAY[one] for one in act.may):
            return False
        if entry.by_id == self.user.pk:
            return bool(self.positions)
        theirs = entry.by_id in self.laboratory
        return bool(access.M in self.positions and theirs and act.way)


def why_not(entry: HistoryEntry, state: State) -> str:
    """Why an entry cannot be undone, in words, as far as the history tells; else nothing."""
    act = act_of(entry.part, entry.act)
    if act.way is None:
        return act.why_not
    if entry.sequence in state.undone:
        return "It is undone already."
    if not entry.row:
        return (
            "It followed from another act, or was done before undoing was kept. Change it by hand."
        )
    if act.until_it_goes_on and state.moved > entry.sequence:
        return "The case has gone on since. Take it back first, or change it by hand."
    if act.way == Way.STEP_BACK:
        later = [
            part
            for part, sequence in state.latest.items()
            if sequence > entry.sequence and part not in BESIDE
        ]
        if later:
            return (
                f"Work was recorded in this stage since ({', '.join(sorted(later))}). Take the "
                "case back by its own ways."
            )
        return ways_back.stage_why_not(entry)
    return ""


def undo(*, case: Case, numbers: Iterable[int], by: User) -> list[HistoryEntry]:
    """Undo entries of a case, all or none, the last one first.

    Parameters
    ----------
    case : Case
        Whose entries.
    numbers : iterable of int
        Their numbers in the history of the laboratory.
    by : User
        Who undoes.

    Raises
    ------
    NotYours
        One is somebody else's, or the role no longer has the act.
    CannotUndo
        One is not undone, or something stands on it; the text says what and what to do.
    """
    wanted = sorted(set(numbers), reverse=True)
    if not wanted:
        raise CannotUndo("No entry is named. Choose one in the history of the case.")
    with history.turn(case):
        return [_one(case, number, by) for number in wanted]


def _one(case: Case, number: int, by: User) -> HistoryEntry:
    fresh = Case.objects.get(pk=case.pk)
    entry = fresh.history.select_related("by").filter(sequence=number).first()
    if entry is None:
        raise CannotUndo(f"This case has no entry {number}. Choose one in its history.")
    entry.case = fresh
    reason = why_not(entry, State.of(fresh))
    act = act_of(entry.part, entry.act)
    if not Hands.of(by, fresh).may(entry):
        raise NotYours(
            "Your role no longer has this act. Ask somebody whose role has it."
            if entry.by_id == by.pk
            else f"Entry {number} is an act of {entry.by}. It is undone by the person, or by the "
            "manager of a laboratory where it is the laboratory's own."
        )
    if reason or act.way is None:
        raise CannotUndo(reason)
    with history.consequences():
        changes = ways_back.take(act.way, entry, by)
    return history.write(
        case=fresh,
        by=by,
        act=UNDID,
        part=entry.part,
        changes=changes,
        row=_names(entry),
    )


def _names(entry: HistoryEntry) -> dict[str, Any]:
    return {"undid": entry.sequence, "act": entry.act}


def offered(written: Collection[HistoryEntry], by: User) -> list[HistoryEntry]:
    """Of what a person has just written, the entries that one button may undo together.

    All of them, or none: what follows from another act is not asked about.
    """
    acts = [entry for entry in written if entry.row and entry.act != UNDID]
    cases = {entry.case_id for entry in written}
    if not acts or len(cases) != 1 or any(act_of(e.part, e.act).way is None for e in acts):
        return []
    state, hands = State.of(acts[0].case), Hands.of(by, acts[0].case)
    return acts if all(hands.may(e) and not why_not(e, state) for e in acts) else []
