"""Every row of a case as plain values, found by walking the models' relations to it.

A model that leads to a case is read without being named here; a test lists them all, so that a
new one is looked at by a person.
"""

from __future__ import annotations

import inspect
from datetime import UTC, datetime
from decimal import Decimal
from functools import cache
from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import Q

from labcases.models import (
    Case,
    HistoryEntry,
    MarkText,
    Organisation,
    PatientName,
    User,
)

Plain = dict[str, Any]
Row = type[models.Model]

#: Models that lead to a case and are told elsewhere, or only to those who may read them.
APART: dict[Row, str] = {
    HistoryEntry: "in a file of its own, with the digests that chain it",
    MarkText: "only with the identity, for the office",
}

#: What the last part of a name says of a number.
UNITS = ("mm", "deg", "um", "days", "minutes", "hours", "px", "bytes", "ml", "g", "count")


@cache
def ways() -> dict[Row, tuple[str, ...]]:
    """Every model that leads to a case, and the fields that lead there."""
    found: dict[Row, tuple[str, ...]] = {}
    left = [
        model
        for model in apps.get_app_config("labcases").get_models(include_auto_created=True)
        # What is made again from the other rows tells nothing of its own.
        if model is not Case and not getattr(model, "MADE_AGAIN", False)
    ]
    for model in left:
        if fields := _to(model, Case):
            found[model] = tuple(name for _null, name in fields)
    left = [model for model in left if model not in found]
    # One step further each time, until nothing more leads to a case.
    while True:
        further: dict[Row, tuple[str, ...]] = {}
        for model in left:
            steps = [
                (null, f"{field}__{known_ways[0]}")
                for known, known_ways in found.items()
                for null, field in _to(model, known)
            ]
            if steps:
                further[model] = (min(steps)[1],)
        if not further:
            return found
        found |= further
        left = [model for model in left if model not in further]


def _to(model: Row, target: Row) -> list[tuple[bool, str]]:
    """Fields of a model that point to another one, and whether each may be empty."""
    return [
        (field.null, field.name)
        for field in model._meta.concrete_fields
        if isinstance(field, models.ForeignKey) and field.related_model is target
    ]


def rows_of(case: Case, model: Row) -> models.QuerySet[models.Model]:
    """The rows of one model that belong to a case, in the order of their keys."""
    wanted = Q()
    for way in ways()[model]:
        wanted |= Q(**{way: case})
    return model._base_manager.filter(wanted).order_by("pk")


def told(row: models.Model, *, without: tuple[str, ...] = ()) -> Plain:
    """One row: its key, and each field by its own name; other rows by their keys."""
    found: Plain = {"key": row.pk}
    for field in fields_of(type(row)):
        if field.name not in without:
            found[field.name] = plain(field.value_from_object(row))
    for many in row._meta.many_to_many:
        found[many.name] = sorted(getattr(row, many.name).values_list("pk", flat=True))
    return found


def fields_of(model: Row) -> list[models.Field[Any, Any]]:
    """What is told of a row beside its key; where files are stored is nobody's business."""
    return [
        field
        for field in model._meta.concrete_fields
        if not field.primary_key and not isinstance(field, models.FileField)
    ]


def plain(value: Any) -> Any:
    """A value as JSON: decimals and days as text, so that none is rounded."""
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if value is None or isinstance(value, (bool, int, float, dict, list)):
        return value
    return str(value)


def of_case(case: Case, *, identity: bool = False) -> Plain:
    """All that stands in a case, its houses and the names of those who had a hand in it.

    Parameters
    ----------
    case : Case
        The case.
    identity : bool
        With the patient's name and the text of the mark: for the office alone.
    """
    rows: dict[str, list[Plain]] = {}
    for model in sorted(ways(), key=lambda one: one.__name__):
        if model in APART or model._meta.auto_created:
            continue
        found = [told(row) for row in rows_of(case, model)]
        if found:
            rows[model.__name__] = found
    patient: Plain = {"key": case.patient_id, "code": case.patient.code}
    if identity:
        name = PatientName.objects.filter(patient=case.patient_id).first()
        patient["name"] = name.name if name else ""
        marks = [told(row) for row in rows_of(case, MarkText)]
        rows |= {"MarkText": marks} if marks else {}
    people = _people({**rows, "Case": [told(case)]})
    return {
        "case": told(case),
        "patient": patient,
        "office": _house(case.office),
        "laboratory": _house(case.laboratory),
        "people": [
            {"key": one.pk, "name": one.full_name, "licence_number": one.licence_number}
            for one in User.objects.filter(pk__in=people).order_by("pk")
        ],
        "rows": rows,
    }


def _house(house: Organisation) -> Plain:
    return told(house)


def _people(rows: dict[str, list[Plain]]) -> set[int]:
    """Keys of everybody whom a row names."""
    found = set()
    for name, listed in rows.items():
        people = [
            field.name
            for field in fields_of(apps.get_model("labcases", name))
            if field.related_model is User
        ]
        found |= {row[field] for row in listed for field in people if row[field] is not None}
    return found


def keys() -> Plain:
    """What each key of the rows means: words, kind, unit, and the row that it points to."""
    models_told: set[Row] = {Case, MarkText, Organisation, *ways()}
    return {
        model.__name__: {
            "what": (inspect.getdoc(model) or "").splitlines()[0],
            "keys": {field.name: _key(field) for field in fields_of(model)},
        }
        for model in sorted(models_told, key=lambda one: one.__name__)
        if not model._meta.auto_created
    }


def _key(field: models.Field[Any, Any]) -> Plain:
    found: Plain = {"means": str(field.verbose_name), "kind": field.get_internal_type()}
    if unit := unit_of(field.name):
        found["unit"] = unit
    if field.related_model:
        found["key_of"] = field.related_model.__name__
    if field.choices:
        found["one_of"] = {str(key): str(words) for key, words in field.flatchoices}
    return found


def unit_of(name: str) -> str:
    """The unit that stands at the end of a name, if one does."""
    last = name.rpartition("_")[2]
    return last if last in UNITS else ""
