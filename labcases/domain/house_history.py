"""Writes the history of a house: people, links, calendar, devices, plan, materials, labels."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from labcases.domain import access
from labcases.models import HouseEntry, Organisation, User

PLANNED_BY = ("calendar", "stages")
"""Parts of a house by which its open cases are planned."""


def enter(
    *,
    organisation: Organisation,
    by: User,
    act: str,
    part: str,
    changes: Mapping[str, list[Any]] | None = None,
    reason: str = "",
) -> HouseEntry:
    """Append one entry. Call it in the transaction of the change itself, when all is changed.

    ``changes`` maps words to ``[before, after]``, as in the history of a case. What changes when
    a house is open or how long it takes plans its open cases again.
    """
    roles = sorted(
        {
            row.get_role_display()
            for row in access.memberships(by)
            if row.organisation_id == organisation.pk
        }
    )
    entry = HouseEntry.objects.create(
        organisation=organisation,
        by=by,
        position=", ".join(roles) + access.device_words(by),
        act=act,
        part=part,
        changes=dict(changes or {}),
        reason=reason,
    )
    if part in PLANNED_BY:
        # It reads calendars, which write history of houses themselves.
        from labcases.domain import replanning  # noqa: PLC0415

        replanning.refresh_house(organisation)
    return entry


def save(*, row: Organisation, after: Mapping[str, Any], part: str, by: User) -> bool:
    """Give a house other values, and append what differs from what is stored.

    Returns
    -------
    bool
        Whether anything differed.
    """
    with transaction.atomic():
        stored = Organisation.objects.select_for_update().get(pk=row.pk)
        changes = {
            str(getattr(row._meta.get_field(name), "verbose_name", name)): [
                _plain(getattr(stored, name)),
                _plain(value),
            ]
            for name, value in after.items()
            if getattr(stored, name) != value
        }
        for name, value in after.items():
            setattr(row, name, value)
        if changes:
            row.save(update_fields=list(after))
            enter(organisation=row, by=by, act="changed", part=part, changes=changes)
    return bool(changes)


def save_keyed(
    *,
    row: Organisation,
    after: Mapping[str, Mapping[str, Any]],
    words: Mapping[str, str],
    part: str,
    by: User,
) -> bool:
    """Give a house other tables of values by key, and append each key that differs."""
    with transaction.atomic():
        stored = Organisation.objects.select_for_update().get(pk=row.pk)
        changes: dict[str, list[Any]] = {}
        for name, table in after.items():
            before = getattr(stored, name)
            for key in dict.fromkeys([*before, *table]):
                if before.get(key) != table.get(key):
                    pair = [_plain(before.get(key)), _plain(table.get(key))]
                    changes[words[name].format(key)] = pair
            setattr(row, name, dict(table))
        if changes:
            row.save(update_fields=list(after))
            enter(organisation=row, by=by, act="changed", part=part, changes=changes)
    return bool(changes)


def _plain(value: Any) -> Any:
    if value is None:
        return ""
    return value if isinstance(value, (bool, int)) else str(value)
