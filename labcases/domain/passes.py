"""Grinding-in by passes: what marked in a movement, what is ground for it, and what comes next.

One pass is one movement with foil between the arches. A right lateral pass marks working teeth
on the right and balancing teeth on the left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from labcases import notation
from labcases.domain import bench, history, ledger, teeth
from labcases.enums import Movement, OpposingTooth, SetUpAct
from labcases.enums.marks import Strength
from labcases.models import Case, Mark, SetUpEntry, User


class NothingThere(Exception):
    """A mark was named where no tooth stands, or twice at one tooth."""


class NotStanding(Exception):
    """The pass was struck out, or the line is no pass."""


class NotThisTooth(Exception):
    """The tooth that was ground is not one of the pair that marked."""


@dataclass(frozen=True)
class Marked:
    """A tooth that marked: ISO 3950 number, and strength and cusps where they were looked at."""

    tooth: str
    strength: str = ""
    cusps: str = ""


# Mouth order, as lists of teeth are kept everywhere.
_ORDER = {tooth: place for place, tooth in enumerate((*notation.UPPER, *notation.LOWER))}


def log_pass(
    *,
    case: Case,
    by: User,
    movement: str,
    marks: Sequence[Marked],
    as_wanted: bool | None = None,
    note: str = "",
) -> SetUpEntry:
    """Log a pass with foil and each tooth that marked in it; none is a finding too.

    Parameters
    ----------
    case, by
        Whose pass, and who made it.
    movement : str
        Of ``Movement``.
    marks : sequence of Marked
        Of both arches, each tooth once.
    as_wanted : bool, optional
        Whether the pass was as the scheme wants; nothing while nobody has said so.
    note : str
        A word beside it.

    Raises
    ------
    NothingThere
        A mark at a position without a tooth, or two marks at one tooth.
    """
    in_order = sorted(marks, key=lambda one: _ORDER.get(one.tooth, len(_ORDER)))
    named = [one.tooth for one in in_order]
    for place, tooth in enumerate(named):
        if tooth in named[:place]:
            raise NothingThere(f"{tooth} is named twice. Give one mark for each tooth.")
        if tooth not in _ORDER or teeth.kind(case.prescription, tooth) == OpposingTooth.MISSING:
            raise NothingThere(f"No tooth stands at {tooth}. Mark only teeth that are there.")
    with history.turn(case):
        entry = SetUpEntry.objects.create(
            case=case,
            by=by,
            act=SetUpAct.PASS,
            movement=movement,
            teeth=named,
            as_wanted=as_wanted,
            note=note,
        )
        Mark.objects.bulk_create(
            Mark(entry=entry, tooth=one.tooth, strength=one.strength, cusps=one.cusps)
            for one in in_order
        )
        told = {
            "movement": str(entry.get_movement_display()),
            "marks": ", ".join(_told(one) for one in in_order) or "no tooth",
            "as wanted": as_wanted,
            "note": note,
        }
        history.write(
            case=case,
            by=by,
            act="pass with foil",
            part="set-up log",
            changes={
                word: [None, value] for word, value in told.items() if value not in ("", None)
            },
            row=history.made(entry),
        )
    return entry


def _told(mark: Marked) -> str:
    return " ".join(part for part in (mark.tooth, mark.strength, mark.cusps) if part)


def judge(*, entry: SetUpEntry, as_wanted: bool, by: User) -> SetUpEntry:
    """Say of a pass whether it was as the scheme wants; said anew, the last word counts.

    Raises
    ------
    NotStanding
        The pass was struck out meanwhile, or the line is no pass.
    """
    with history.turn(entry.case):
        row = SetUpEntry.objects.select_for_update().get(pk=entry.pk)
        if row.act != SetUpAct.PASS or row.struck_at is not None:
            raise NotStanding("This pass was struck out. Make the pass again and log it.")
        before = row.as_wanted
        if before == as_wanted:
            return row
        SetUpEntry.objects.filter(pk=row.pk).update(as_wanted=as_wanted)
        history.write(
            case=entry.case,
            by=by,
            act="pass judged",
            part="set-up log",
            changes={
                "movement": [None, str(row.get_movement_display())],
                "as wanted": [before, as_wanted],
            },
        )
    row.as_wanted = as_wanted
    return row


def grind(*, mark: Mark, tooth: str, depth_mm: Decimal, by: User, note: str = "") -> SetUpEntry:
    """Log what was taken off a denture tooth for a mark.

    Parameters
    ----------
    mark : Mark
        What it was done for.
    tooth : str
        The denture tooth that yielded, ISO 3950: the one that marked, or what it met.
    depth_mm : Decimal
        Millimetres taken off.
    by : User
        Who ground it.
    note : str
        A word beside it.

    Raises
    ------
    NotThisTooth
        It is neither of the side that marked, so that it cannot have met.
    NotADentureTooth
        It is natural, or belongs to an opposing denture without the dentist's word.
    """
    # Over which tooth another passes is told by the check, a neighbour of the one of its name.
    if notation.side_of(tooth) != notation.side_of(mark.tooth) and tooth[1] + mark.tooth[1] != "11":
        raise NotThisTooth(
            f"{tooth} does not meet {mark.tooth}: they stand on different sides. Log it as a line "
            "of its own."
        )
    return bench.log(
        case=mark.entry.case,
        by=by,
        values={
            "act": SetUpAct.REDUCTION,
            "teeth": [tooth],
            "after_mm": depth_mm,
            "note": note,
            "mark": mark,
        },
    )


# --- the pin -----------------------------------------------------------------------------------


def pin_set_at(case: Case) -> Decimal:
    """Where the pin is fixed: the last opening or reading, without what it was lifted by.

    A reading that was taken after grinding keeps the setting in ``before_mm``.
    """
    mounting = getattr(case, "mounting", None)
    found = mounting.pin_zero_mm if mounting else None
    for entry in ledger.standing(case):
        if entry.act == SetUpAct.PIN_OPENED and entry.after_mm is not None:
            found = entry.after_mm
        elif entry.act == SetUpAct.PIN_READING and entry.after_mm is not None:
            found = entry.after_mm if entry.before_mm is None else entry.before_mm
    return found if found is not None else Decimal("0")


def see_pin(*, case: Case, lifted_mm: Decimal, by: User) -> SetUpEntry:
    """Log that the pin touches the table, or by how many millimetres it is lifted off it."""
    set_at = pin_set_at(case)
    return bench.log(
        case=case,
        by=by,
        values={
            "act": SetUpAct.PIN_READING,
            "before_mm": set_at,
            "after_mm": set_at + lifted_mm,
        },
    )


# --- what comes next ---------------------------------------------------------------------------

_CHANGES_CONTACTS = (SetUpAct.REDUCTION, SetUpAct.TOOTH_SET)


def ground_since(case: Case, *acts: str, movement: str = "") -> list[str]:
    """Teeth that were ground or set since the last line of one of these acts.

    Parameters
    ----------
    case : Case
        Whose log.
    acts : str
        Of ``SetUpAct``; without such a line nothing was changed since.
    movement : str
        Of passes only those in this movement.
    """
    found: list[str] | None = None
    for entry in ledger.standing(case):
        if entry.act in acts and (not movement or entry.movement == movement):
            found = []
        elif entry.act in _CHANGES_CONTACTS and found is not None:
            found += [tooth for tooth in entry.teeth if tooth not in found]
    return found or []


def usual_next(case: Case) -> Movement:
    """The movement that usually comes next: centric first, and again after every grinding.

    Then working and balancing in both lateral movements, then protrusive (source:
    grinding_lecture, as the engine's steps). Where every movement has its pass and none was
    called not as wanted, the round goes on from the newest.
    """
    last = ledger.last_passes(case)
    centric = last.get(Movement.CENTRIC)
    if (
        centric is None
        or centric.as_wanted is False
        or ground_since(case, SetUpAct.PASS, movement=Movement.CENTRIC)
    ):
        return Movement.CENTRIC
    for movement in Movement:
        if movement not in last or last[movement].as_wanted is False:
            return movement
    newest = max(last, key=lambda movement: last[movement].pk)
    in_order = list(Movement)
    return in_order[(in_order.index(newest) + 1) % len(in_order)]


# --- one pass against the one before -----------------------------------------------------------

_RANK = {Strength.LIGHT: 1, Strength.FIRM: 2, Strength.HEAVY: 3}


@dataclass(frozen=True)
class Changes:
    """What became of the marks since the last pass of the same movement; ISO 3950 numbers.

    A tooth that is weaker or stronger is not also ``still``.
    """

    gone: tuple[str, ...]
    still: tuple[str, ...]
    weaker: tuple[str, ...]
    stronger: tuple[str, ...]
    new: tuple[str, ...]


def before(case: Case, entry: SetUpEntry) -> SetUpEntry | None:
    """The standing pass of the same movement that was made before this one."""
    earlier = [
        one
        for one in ledger.standing(case)
        if one.act == SetUpAct.PASS and one.movement == entry.movement and one.pk < entry.pk
    ]
    return earlier[-1] if earlier else None


def changes(now: Sequence[Mark], then: Sequence[Mark]) -> Changes:
    """Compare the marks of two passes; a strength that nobody gave is neither more nor less.

    Two teeth that meet are one contact: it is there while either of them is tapped.
    """
    was = {mark.tooth: mark.strength for mark in then}
    here = {mark.tooth for mark in now}
    found: dict[str, list[str]] = {"still": [], "weaker": [], "stronger": [], "new": []}
    for mark in now:
        before_it = was.get(mark.tooth, "" if notation.opposing(mark.tooth) in was else None)
        found[_became(before_it, mark.strength)].append(mark.tooth)
    return Changes(
        gone=tuple(tooth for tooth in was if not {tooth, notation.opposing(tooth)} & here),
        **{word: tuple(numbers) for word, numbers in found.items()},
    )


def _became(was: str | None, strength: str) -> str:
    if was is None:
        return "new"
    if not was or not strength or was == strength:
        return "still"
    return "stronger" if _RANK[Strength(strength)] > _RANK[Strength(was)] else "weaker"
