"""The tooth stock of a laboratory: sets on its shelves, and a line for every change of them."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone

from labcases.domain import access, history
from labcases.domain.versions import EditConflict
from labcases.enums.teeth import StockAct
from labcases.models import Case, Organisation, StockLine, ToothSet, User
from labcases.models.stock import IDENTITY

KEEP = "keep the stock"
TEXTS = ("line", "mould", "shade", "lot", "shelf")


class OutOfStock(Exception):
    """The last set was taken, or none was there."""


class SameSet(Exception):
    """Another row holds sets of this very kind."""

    def __init__(self, stored: ToothSet) -> None:
        self.stored = stored
        super().__init__(
            f"{stored} is in the stock already, {stored.count} on the shelf. Count that one, or "
            "enter what differs: line, mould, shade, material or lot."
        )


def tidy(text: str) -> str:
    """A text as it is compared and kept: one form of each character, single spaces."""
    return " ".join(unicodedata.normalize("NFC", text).split())


def may_keep(user: User, organisation: Organisation) -> bool:
    """People of the laboratory; an office has no tooth stock."""
    return organisation.is_laboratory and access.may_in(user, KEEP, organisation)


def name_of(row: ToothSet) -> str:
    """A set as sentences name it."""
    return f"{row.get_arch_display().lower()} {row.get_part_display().lower()} set {row}"


# -- changing ---------------------------------------------------------------------------------


def add(
    *, laboratory: Organisation, by: User, values: Mapping[str, Any], why: str = ""
) -> ToothSet:
    """Put a new kind of set on the shelf.

    Raises
    ------
    SameSet
        The laboratory has a row for this kind already. Nothing was written.
    """
    row = ToothSet(laboratory=laboratory, changed_by=by, **_tidied(values))
    try:
        with history.turn(laboratory), transaction.atomic():
            row.save(force_insert=True)
            _log(row, StockAct.ADDED, 0, row.count, by, why=why)
    except IntegrityError:
        raise SameSet(_same(row)) from None
    return row


def change(
    *, row: ToothSet, version: int, by: User, values: Mapping[str, Any], why: str
) -> ToothSet:
    """Change what stands of a set, its count too. A save that changes nothing writes nothing.

    Raises
    ------
    ValueError
        The count changes and no reason is given.
    EditConflict
        Somebody changed or took a set since ``version``. Nothing was written.
    SameSet
        Another row holds sets of this very kind.
    """
    values = _tidied(values)
    with history.turn(row.laboratory):
        stored = ToothSet.objects.select_for_update().get(pk=row.pk)
        changes = history.differences(stored, values)
        if not changes:
            return stored
        if stored.version != version:
            raise EditConflict(stored, values)
        counted = values.get("count", stored.count) != stored.count
        if counted and not why.strip():
            raise ValueError(
                f"Give the reason why the count goes from {stored.count} to {values['count']}."
            )
        try:
            with transaction.atomic():
                _write(stored, by, **values)
        except IntegrityError:
            raise SameSet(
                _same(ToothSet(laboratory=stored.laboratory, **_identity(stored, values)))
            ) from None
        fresh = ToothSet.objects.get(pk=row.pk)
        act = StockAct.COUNTED if counted else StockAct.CHANGED
        said = {label: pair for label, pair in changes.items() if label != "count"}
        _log(fresh, act, stored.count, fresh.count, by, why=why, changes=said)
    return fresh


def take_one(*, row: ToothSet, case: Case | None, by: User, why: str = "") -> ToothSet:
    """Take one set off the shelf. Of two people who take the last one, the second is told.

    Raises
    ------
    OutOfStock
        None is left; the sentence names who took the last one.
    """
    with history.turn(row.laboratory):
        if not _write_count(row, by, F("count") - 1, count__gte=1):
            raise OutOfStock(_gone(row))
        fresh = ToothSet.objects.get(pk=row.pk)
        _log(fresh, StockAct.TAKEN, fresh.count + 1, fresh.count, by, why=why, case=case)
    return fresh


def put_one(*, row: ToothSet, case: Case | None, by: User, why: str = "") -> ToothSet:
    """Put one set back on the shelf."""
    with history.turn(row.laboratory):
        _write_count(row, by, F("count") + 1)
        fresh = ToothSet.objects.get(pk=row.pk)
        _log(fresh, StockAct.PUT_BACK, fresh.count - 1, fresh.count, by, why=why, case=case)
    return fresh


def shelve(
    *,
    laboratory: Organisation,
    identity: Mapping[str, Any],
    case: Case | None,
    by: User,
    why: str = "",
) -> ToothSet:
    """Put one set on the shelf that did not come from it, beside its like if there are any."""
    with history.turn(laboratory):
        row, _new = ToothSet.objects.get_or_create(
            laboratory=laboratory, **_tidied(identity), defaults={"changed_by": by}
        )
        return put_one(row=row, case=case, by=by, why=why)


def _tidied(values: Mapping[str, Any]) -> dict[str, Any]:
    return {
        name: tidy(value) if name in TEXTS and isinstance(value, str) else value
        for name, value in values.items()
    }


def _identity(row: ToothSet, values: Mapping[str, Any]) -> dict[str, Any]:
    return {name: values.get(name, getattr(row, name)) for name in IDENTITY}


def _same(row: ToothSet) -> ToothSet:
    return ToothSet.objects.get(
        laboratory=row.laboratory, **{name: getattr(row, name) for name in IDENTITY}
    )


def _write(row: ToothSet, by: User, **values: Any) -> None:
    ToothSet.objects.filter(pk=row.pk).update(
        version=F("version") + 1, changed_at=timezone.now(), changed_by=by, **values
    )


def _write_count(row: ToothSet, by: User, count: Any, **only: Any) -> int:
    return ToothSet.objects.filter(pk=row.pk, **only).update(
        count=count, version=F("version") + 1, changed_at=timezone.now(), changed_by=by
    )


def _log(
    row: ToothSet,
    act: StockAct,
    before: int,
    after: int,
    by: User,
    *,
    why: str = "",
    case: Case | None = None,
    changes: Mapping[str, Any] | None = None,
) -> None:
    StockLine.objects.create(
        tooth_set=row,
        act=act,
        before=before,
        after=after,
        changes=dict(changes or {}),
        why=why.strip(),
        case=case,
        by=by,
    )


def _gone(row: ToothSet) -> str:
    last = row.lines.filter(act=StockAct.TAKEN).select_related("by", "case").last()
    who = f" {last.by} took the last one" if last else " None is on the shelf"
    for_case = f" for case {last.case.code}" if last and last.case else ""
    return f"Out of stock: {name_of(row)}.{who}{for_case}. Take another set, or order one."


# -- finding ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Asked:
    """What a reader of the stock looks for."""

    text: str = ""
    arch: str = ""
    part: str = ""
    shade: str = ""
    material: str = ""
    on_shelf: bool = False


def search(laboratory: Organisation, asked: Asked) -> QuerySet[ToothSet]:
    """Sets by words of line, mould, lot or shelf, and by arch, part, shade and material."""
    rows = laboratory.tooth_sets.all()
    for word in tidy(asked.text).split():
        rows = rows.filter(
            Q(line__icontains=word)
            | Q(mould__icontains=word)
            | Q(lot__icontains=word)
            | Q(shelf__icontains=word)
        )
    for name in ("arch", "part", "material"):
        if value := getattr(asked, name):
            rows = rows.filter(**{name: value})
    if asked.shade:
        rows = rows.filter(shade__iexact=tidy(asked.shade))
    return rows.filter(count__gt=0) if asked.on_shelf else rows
