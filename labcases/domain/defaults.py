"""Choices that a person makes again and again: own defaults, and those of an earlier case.

Neither ever carries the patient, teeth, measures or allergy over: they belong to one mouth. Route,
jaw record and vertical are left out as well, because they hang on the teeth that still stand.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from labcases.domain import access, prescription
from labcases.enums import Arch, Flange, PrescriptionStatus, Route, TryInWish
from labcases.enums.prescribing import SettingsWish
from labcases.models import Case, PrescribingDefaults, Prescription, User

DEFAULTS = ("base_material", "tooth_material", "shade_system", "scheme", "flange", "try_in")
COPIED = (
    *("set_up_order", *DEFAULTS),
    *("post_dam", "lower_border", "identification", "template_wanted", "photographs"),
    *("settings_wish", "return_casts", "reline_plan"),
)
EARLIER_SHOWN = 20


class NothingToUse(Exception):
    """There is nothing that could be filled in, and why."""


def own(user: User) -> PrescribingDefaults | None:
    return PrescribingDefaults.objects.filter(user=user).first()


def remember(*, row: Prescription, by: User) -> list[str]:
    """Keep what this draft says as a person's own defaults; says which fields those are.

    Raises
    ------
    NothingToUse
        The draft says none of them.
    """
    said = {field: getattr(row, field) for field in DEFAULTS if getattr(row, field)}
    if not said:
        raise NothingToUse("Nothing was kept: choose a material, scheme or flange first.")
    PrescribingDefaults.objects.update_or_create(
        user=by, defaults={**dict.fromkeys(DEFAULTS, ""), **said}
    )
    return list(said)


def use(*, row: Prescription, version: int, by: User) -> list[str]:
    """Fill what the draft leaves open with a person's own defaults; says which fields.

    Raises
    ------
    NothingToUse
        The person kept none, or everything is answered.
    """
    kept = own(by)
    if kept is None:
        raise NothingToUse("You have no defaults yet. Save the choices of a prescription as yours.")
    values = {
        field: getattr(kept, field)
        for field in DEFAULTS
        if getattr(kept, field) and not getattr(row, field)
    }
    return _fill(row, version, by, values, "Nothing was filled in: everything is answered already.")


def earlier(case: Case, user: User) -> list[Case]:
    """Signed cases of the same office, the newest first, that a person may copy choices from."""
    if not access.may(user, "write a prescription", case):
        return []
    return list(
        access.visible_cases(user)
        .filter(office=case.office_id, prescriptions__status=PrescriptionStatus.SIGNED)
        .exclude(pk=case.pk)
        .distinct()
        .select_related("patient")
        .prefetch_related("prescriptions")
        .order_by("-created_at", "-pk")[:EARLIER_SHOWN]
    )


def copy(*, row: Prescription, version: int, of: Case, by: User) -> list[str]:
    """Take over the choices of an earlier case of the same office; says which fields changed.

    Raises
    ------
    NothingToUse
        The other case is not one that this person may copy from, or says the same.
    """
    if of not in earlier(row.case, by):
        raise NothingToUse("Choose one of the cases in the list.")
    signed = of.prescription
    values = {
        field: value
        for field in COPIED
        if (value := getattr(signed, field)) not in (None, "", []) and value != getattr(row, field)
    }
    return _fill(row, version, by, values, "Nothing was copied: both say the same.")


def _fill(
    row: Prescription, version: int, by: User, values: Mapping[str, Any], nothing: str
) -> list[str]:
    fitting = {field: value for field, value in values.items() if _fits(row, field, value)}
    if not fitting:
        raise NothingToUse(nothing)
    prescription.save(row=row, version=version, by=by, values=fitting)
    return list(fitting)


def _fits(row: Prescription, field: str, value: Any) -> bool:
    """Leave out what this arch or route refuses."""
    upper = row.arch == Arch.UPPER
    if field in ("post_dam", "lower_border"):
        return (field == "post_dam") is upper
    if field == "settings_wish":
        return bool(value != SettingsWish.WRITTEN)  # what was written is of the other mouth
    if field == "flange":
        return upper or value != Flange.SOCKETED
    if field == "try_in" and row.route == Route.INTERIM:
        return bool(value != TryInWish.WANTED)
    return True
