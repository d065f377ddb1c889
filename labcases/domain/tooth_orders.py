"""Taking, ordering, counting and replacing the teeth of a case."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from labcases.domain import history, question, stock, versions
from labcases.domain.teeth_needed import COMPARED, Need, differing, in_words, need_of
from labcases.enums import Side
from labcases.enums.teeth import TeethFrom, TeethState
from labcases.models import Case, TeethSupply, ToothSet, User
from labcases.models.tooth_orders import STANDING

PART = "teeth in hand"
ACT = "order teeth"


class NeedsReason(Exception):
    """Other teeth than those approved, or teeth in place of others: somebody has to say why."""


class Meanwhile(Exception):
    """Somebody else took, ordered or changed these teeth first. Nothing was written."""


class NotNow(Exception):
    """The row is not in a state in which this can be done; the sentence says what can."""


def _ask_dentist(
    case: Case, row: TeethSupply, found: Mapping[str, tuple[str, str]], by: User
) -> None:
    """One question a thing that differs, unless the same one is open already."""
    name = f"tooth {row.tooth}" if row.tooth else f"the {row.arch} {row.part} teeth"
    for field, (approved, these) in found.items():
        text = (
            f"{name[:1].upper()}{name[1:]}: {these} in place of {approved}. "
            f"Reason: {row.reason.rstrip('.')}. May they be used?"
        )
        about = COMPARED[field]
        if any(one.waits and one.text == text for one in case.questions.filter(about=about)):
            continue
        question.ask(
            case=case,
            about=about,
            text=text,
            waits_for=Side.OFFICE,
            clinical=True,
            tooth=row.tooth,
            by=by,
        )


# -- taking, ordering, entering ---------------------------------------------------------------


@dataclass(frozen=True)
class Old:
    """The row that new teeth take the place of, as the person saw it, and what becomes of it."""

    row: TeethSupply
    version: int
    goes_back: bool = False


def take(
    *,
    case: Case,
    need: Need,
    tooth_set: ToothSet,
    by: User,
    reason: str = "",
    tooth: str = "",
    old: Old | None = None,
) -> TeethSupply:
    """Take a set from stock: the count goes down by one, and its lot stands on the case.

    With ``tooth`` it is one tooth in place of another of that set, and the set that it comes
    out of leaves the shelf all the same: it is no longer complete.

    Raises
    ------
    labcases.domain.stock.OutOfStock
        Somebody took the last one first.
    NeedsReason
        The teeth differ from what was approved, or replace others, and no reason is given.
    Meanwhile
        Somebody else entered teeth for this part first.
    """
    values = {
        "source": TeethFrom.STOCK,
        "state": TeethState.IN_HAND,
        "tooth_set": tooth_set,
        "counted": None if tooth else len(need.teeth),
        **{
            name: getattr(tooth_set, name) for name in ("line", "mould", "shade", "material", "lot")
        },
    }
    with history.turn(case):
        row = _enter(case, need, tooth, values, "taken from stock", by, reason, old)
        stock.take_one(row=tooth_set, case=case, by=by, why=reason)
    return row


def order(
    *,
    case: Case,
    need: Need,
    by: User,
    values: Mapping[str, Any],
    reason: str = "",
    tooth: str = "",
    old: Old | None = None,
) -> TeethSupply:
    """Enter an order: supplier, day, lead days, and which teeth."""
    told = {"source": TeethFrom.ORDER, "state": TeethState.ORDERED, **values}
    return _enter(case, need, tooth, told, "ordered", by, reason, old)


def enter(
    *,
    case: Case,
    need: Need,
    by: User,
    values: Mapping[str, Any],
    reason: str = "",
    tooth: str = "",
    old: Old | None = None,
) -> TeethSupply:
    """Say that teeth are here that are not kept in the stock, with their lot."""
    told = {"source": TeethFrom.HERE, "state": TeethState.IN_HAND, **values}
    return _enter(case, need, tooth, told, "entered as in hand", by, reason, old)


def _enter(
    case: Case,
    need: Need,
    tooth: str,
    values: Mapping[str, Any],
    act: str,
    by: User,
    reason: str,
    old: Old | None,
) -> TeethSupply:
    """Add a row, end the one that it replaces, and ask the dentist where it differs."""
    reason = reason.strip()
    with history.turn(case):
        # Locked, so that of two people who enter teeth for one part the second is told.
        Case.objects.select_for_update().get(pk=case.pk)
        found = _judged(case, need, values, reason)
        if tooth and not reason:
            raise NeedsReason(f"Give the reason why tooth {tooth} is replaced.")
        there = TeethSupply.objects.filter(
            case=case, arch=need.arch, part=need.part, tooth=tooth, state__in=STANDING
        ).first()
        if there and old is None:
            raise Meanwhile(
                f"{there.changed_by} entered the {need.words} meanwhile: "
                f"{there.get_state_display().lower()}. Look at them again; to use others, replace "
                "them."
            )
        if old:
            if not reason:
                raise NeedsReason(f"Give the reason why the {need.words} are replaced.")
            if there is None or (there.pk, there.version) != (old.row.pk, old.version):
                raise Meanwhile(f"Somebody changed the {need.words} meanwhile. Look at them again.")
            _end(there, old.version, by, reason, goes_back=old.goes_back)
        row = TeethSupply.objects.create(
            case=case,
            arch=need.arch,
            part=need.part,
            tooth=tooth,
            reason=reason,
            revision=case.prescription.revision,
            changed_by=by,
            **values,
        )
        history.write(
            case=case,
            by=by,
            act=act,
            part=PART,
            changes={tooth or need.words: [str(there) if there else None, in_words(row)]},
            reason=reason,
        )
        _ask_dentist(case, row, found, by)
    return row


def _judged(
    case: Case, need: Need, values: Mapping[str, Any], reason: str
) -> dict[str, tuple[str, str]]:
    """What is not as approved. It may be entered with a reason, and the dentist is asked."""
    found = differing(case, need.part, values)
    if found and not reason:
        said = "; ".join(
            f"{COMPARED[name].removeprefix('the ')} {these}, approved is {approved}"
            for name, (approved, these) in found.items()
        )
        raise NeedsReason(
            f"These are not the approved {need.words}: {said}. Give the reason; the dentist is "
            "asked."
        )
    return found


# -- afterwards -------------------------------------------------------------------------------


def arrived(*, row: TeethSupply, version: int, by: User, values: Mapping[str, Any]) -> TeethSupply:
    """An order has come, or the rest of one: counted, with its lot and what differs.

    Raises
    ------
    NotNow
        It is no order that is still awaited.
    """
    still = row.state == TeethState.ORDERED or (
        row.state == TeethState.IN_HAND and row.source == TeethFrom.ORDER
    )
    if not still:
        raise NotNow("This is no order that is still awaited. Look at it again.")
    here = {"state": TeethState.IN_HAND, "held_up": "", **values}
    return _save(row, version, by, "arrived", here)


def hold_up(*, case: Case, by: User, why: str) -> None:
    """Mark every order that has not come as not to be had yet; it stands all the same."""
    with history.turn(case):
        for row in awaited(case):
            _save(row, row.version, by, "held up", {"held_up": why[:200]})


def cancel_orders(*, case: Case, by: User, why: str) -> None:
    """Cancel every order that has not come."""
    with history.turn(case):
        for row in awaited(case):
            _end(row, row.version, by, why[:200], goes_back=True)


def awaited(case: Case) -> list[TeethSupply]:
    """Orders of a case that have not come, the oldest first."""
    return list(case.tooth_supplies.filter(state=TeethState.ORDERED).order_by("pk"))


def ground_through(*, case: Case, teeth: Iterable[str], by: User, why: str) -> None:
    """Say of single teeth that were in place of others that they are not used any more."""
    with history.turn(case):
        for row in case.tooth_supplies.filter(tooth__in=list(teeth), state__in=STANDING):
            _end(row, row.version, by, why[:200], goes_back=False)


def put_back(*, row: TeethSupply, version: int, by: User, why: str = "") -> TeethSupply:
    """Put teeth on the shelf again; an order that has not come is cancelled."""
    with history.turn(row.case):
        return _end(row, version, by, why, goes_back=True)


def discard(*, row: TeethSupply, version: int, by: User, why: str) -> TeethSupply:
    """Say that teeth are not used and do not go back; a reason is asked for."""
    if not why.strip():
        raise NeedsReason("Give the reason why these teeth are not used.")
    with history.turn(row.case):
        return _end(row, version, by, why, goes_back=False)


def _end(row: TeethSupply, version: int, by: User, why: str, *, goes_back: bool) -> TeethSupply:
    if row.state not in (*STANDING, TeethState.SET_ASIDE):
        raise NotNow(f"These teeth are {row.get_state_display().lower()} already.")
    not_come = row.source == TeethFrom.ORDER and row.arrived_on is None
    state = (
        TeethState.CANCELLED
        if not_come
        else TeethState.PUT_BACK
        if goes_back
        else TeethState.NOT_USED
    )
    ended = _save(row, version, by, state.label.lower(), {"state": state, "ended_why": why.strip()})
    if state == TeethState.PUT_BACK:
        _to_the_shelf(row, by, why)
    return ended


def _to_the_shelf(row: TeethSupply, by: User, why: str) -> None:
    if row.tooth:
        raise NotNow("A single tooth makes no set. Say that it is not used instead.")
    if row.tooth_set:
        stock.put_one(row=row.tooth_set, case=row.case, by=by, why=why)
        return
    identity = {
        name: getattr(row, name)
        for name in ("line", "arch", "part", "mould", "shade", "material", "lot")
    }
    if not all(identity[name] for name in ("line", "mould", "shade", "material")):
        raise NotNow(
            "They did not come from the stock, and line, mould, shade or material is not entered. "
            "Add them under Tooth stock, and say here that they are not used."
        )
    identity["lot"] = row.lot[: ToothSet._meta.get_field("lot").max_length]
    stock.shelve(laboratory=row.case.laboratory, identity=identity, case=row.case, by=by, why=why)


def use_again(*, row: TeethSupply, version: int, by: User, reason: str = "") -> TeethSupply:
    """Use teeth of an earlier revision after all; what differs now is asked of the dentist.

    Raises
    ------
    NotNow
        The part is not asked for any more, or other teeth stand for it.
    NeedsReason
        They differ from what is approved now, and no reason is given.
    """
    case, reason = row.case, reason.strip()
    need = need_of(case, f"{row.arch}-{row.part}")
    if row.state != TeethState.SET_ASIDE:
        raise NotNow(f"These teeth are {row.get_state_display().lower()}. Look at them again.")
    if need is None:
        raise NotNow(
            f"The prescription in force asks for no {row.arch} {row.part} teeth. Put them back."
        )
    came = row.source != TeethFrom.ORDER or row.arrived_on is not None
    with history.turn(case):
        Case.objects.select_for_update().get(pk=case.pk)
        if TeethSupply.objects.filter(
            case=case, arch=row.arch, part=row.part, tooth=row.tooth, state__in=STANDING
        ).exists():
            raise NotNow(f"Other {need.words} stand already. Put those back first.")
        values = {name: getattr(row, name) for name in COMPARED}
        found = _judged(case, need, values, reason)
        saved = _save(
            row,
            version,
            by,
            "used again",
            {
                "state": TeethState.IN_HAND if came else TeethState.ORDERED,
                "revision": case.prescription.revision,
                "reason": reason or row.reason,
            },
        )
        _ask_dentist(case, saved, found, by)
    return saved


def set_aside(*, case: Case, by: User, why: str) -> None:
    """A revision undoes the choice of teeth: what was taken or ordered waits for a word.

    Call it inside the transaction of the revision.
    """
    rows = TeethSupply.objects.select_for_update().filter(case=case, state__in=STANDING)
    for row in rows:
        _save(row, row.version, by, "taken back", {"state": TeethState.SET_ASIDE, "ended_why": why})


def _save(
    row: TeethSupply, version: int, by: User, act: str, values: Mapping[str, Any]
) -> TeethSupply:
    return versions.save_row(
        row=row,
        version=version,
        by=by,
        case=row.case,
        part=PART,
        act=act,
        reason=str(values.get("ended_why", "")),
        values=values,
    )
