"""A laboratory's own materials: what it works with, and what it uses no more."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone

from labcases.domain import access, house_history
from labcases.domain.stock import tidy
from labcases.domain.versions import EditConflict
from labcases.enums.materials import OwnKind
from labcases.models import CuringCycle, Organisation, OwnMaterial, User
from labcases.templatetags.units import long_date

KEEP = "keep the own materials"
PART = "own materials"
#: Words of the history for what may change; the name never does.
WORDS = {"kind": "kind", "technique": "technique", "monomer": "monomer", "note": "note"}


class SameName(Exception):
    """The laboratory has a material of this name already."""


def may_keep(user: User, laboratory: Organisation) -> bool:
    """A manager of a laboratory; everybody inside reads the list."""
    return laboratory.is_laboratory and access.may_in(user, KEEP, laboratory)


def add(*, laboratory: Organisation, by: User, values: Mapping[str, Any]) -> OwnMaterial:
    """Enter a material.

    Raises
    ------
    SameName
        It stands in the list already, used or not.
    """
    told = _tidied(values)
    stored = find(laboratory, told["called"])
    if stored is not None:
        raise SameName(_same(stored))
    try:
        with transaction.atomic():
            row = OwnMaterial.objects.create(laboratory=laboratory, changed_by=by, **told)
            house_history.enter(
                organisation=laboratory,
                by=by,
                act="entered",
                part=PART,
                changes={row.called: ["", in_words(row)]},
            )
    except IntegrityError:
        stands = OwnMaterial.objects.get(laboratory=laboratory, called=told["called"])
        raise SameName(_same(stands)) from None
    return row


def change(
    *,
    row: OwnMaterial,
    version: int,
    by: User,
    values: Mapping[str, Any],
    in_use: bool,
    why: str = "",
) -> OwnMaterial:
    """Change what stands of a material, stop using it, or use it again.

    Returns
    -------
    OwnMaterial
        As it now stands. A save that changes nothing writes nothing.

    Raises
    ------
    ValueError
        It is used no more, and no reason is given.
    labcases.domain.versions.EditConflict
        Somebody saved since ``version``.
    """
    after = _tidied(values)
    with transaction.atomic():
        stored = OwnMaterial.objects.select_for_update().get(pk=row.pk)
        if in_use:
            after |= {"stopped_at": None, "stopped_why": ""}
        elif stored.stopped_at is None:
            if not why.strip():
                raise ValueError(f"Give the reason why {stored} is used no more.")
            after |= {"stopped_at": timezone.now(), "stopped_why": why.strip()}
        changes = {
            f"{stored}: {word}": [shown(stored, name), _words(name, after[name])]
            for name, word in WORDS.items()
            if name in after and getattr(stored, name) != after[name]
        }
        if in_use is (stored.stopped_at is not None):
            words = ["used", "used no more"]
            changes[str(stored)] = words[::-1] if in_use else words
        if not changes:
            return stored
        if stored.version != version:
            raise EditConflict(stored, after)
        OwnMaterial.objects.filter(pk=row.pk).update(
            version=F("version") + 1, changed_at=timezone.now(), changed_by=by, **after
        )
        house_history.enter(
            organisation=stored.laboratory,
            by=by,
            act="changed",
            part=PART,
            changes=changes,
            reason=why.strip(),
        )
    return OwnMaterial.objects.get(pk=row.pk)


def _tidied(values: Mapping[str, Any]) -> dict[str, Any]:
    return {
        name: tidy(value) if isinstance(value, str) else value for name, value in values.items()
    }


def _same(stored: OwnMaterial) -> str:
    stopped = " It is used no more: use it again there." if stored.stopped_at else ""
    return f"{stored} stands in the list already. Change that one.{stopped}"


# -- reading ------------------------------------------------------------------------------------


def of(laboratory: Organisation) -> list[OwnMaterial]:
    """Every material: those in use first, then by kind and name."""
    rows = laboratory.own_materials.select_related("changed_by")
    return sorted(rows, key=lambda row: (row.stopped_at is not None, row.kind, row.called))


def find(laboratory: Organisation, product: str) -> OwnMaterial | None:
    """The material that a line names, however its letters are written."""
    return laboratory.own_materials.filter(called__iexact=tidy(product)).first()


def spelled(laboratory: Organisation, product: str) -> str:
    """A product as the list spells it; as it was typed where it is not of the list."""
    stored = find(laboratory, product) if product.strip() else None
    return stored.called if stored else product


def to_choose(
    laboratory: Organisation, *, kinds: Iterable[str] = tuple(OwnKind), technique: str = ""
) -> list[str]:
    """Names in use that a line may take, of these kinds and of this technique or of any."""
    rows = laboratory.own_materials.filter(kind__in=list(kinds), stopped_at=None)
    if technique:
        rows = rows.filter(technique__in=("", technique))
    return list(rows.values_list("called", flat=True))


def named_in(laboratory: Organisation, products: Iterable[str]) -> list[OwnMaterial]:
    """The materials of the list that lines name, used or not."""
    wanted = {tidy(product).casefold() for product in products}
    rows = of(laboratory) if wanted else []
    return [row for row in rows if row.called.casefold() in wanted]


def cycles_of(row: OwnMaterial) -> list[CuringCycle]:
    """The last edition of each cycle that is entered for a material, in use or not."""
    found: dict[str, CuringCycle] = {}
    rows = CuringCycle.objects.filter(laboratory=row.laboratory, material__iexact=row.called)
    for one in rows.order_by("edition"):
        found[one.name] = one
    return list(found.values())


def shown(row: OwnMaterial, name: str) -> str:
    return _words(name, getattr(row, name))


def _words(name: str, value: Any) -> str:
    column = OwnMaterial._meta.get_field(name)
    return str(dict(column.choices or ()).get(value, value))  # type: ignore[union-attr]


def in_words(row: OwnMaterial) -> str:
    """Kind, technique, monomer, note, and since when it is used no more."""
    said = [
        shown(row, "kind"),
        shown(row, "technique").lower(),
        shown(row, "monomer").lower(),
        row.note,
        f"used no more since {long_date(row.stopped_at)}: {row.stopped_why}"
        if row.stopped_at
        else "",
    ]
    return ", ".join(part for part in said if part)
