"""All that a case holds, as plain values: what an undo must bring back."""

from __future__ import annotations

from typing import Any

from django.apps import apps
from django.db import models

from labcases.models import Case, HistoryEntry

#: Who saved a row last, and how often: an undo saves it once more.
NOT_COMPARED = {"version", "changed_at", "changed_by"}
#: What another house is told of a date says the same under another key, and at another moment.
TOLD_ANEW = {"DateMove": {"id", "at"}, "DeskRow": {"move"}}
#: What says that a row no longer counts, though it stays readable.
GONE = ("struck_at", "removed_at", "closed_at")


def standing(case: Case) -> dict[str, list[dict[str, Any]]]:
    """Every row of a case that counts, with what stands in it; but for its history."""
    found = snapshot(case)
    return {
        name: [
            row
            for row in rows
            if not any(row.get(field) for field in GONE)
            and not (name == "Appointment" and row["status"] == "dropped")
        ]
        for name, rows in found.items()
    }


def snapshot(case: Case) -> dict[str, list[dict[str, Any]]]:
    """Every row of a case, but for its history."""
    found: dict[str, list[dict[str, Any]]] = {}
    for model in apps.get_app_config("labcases").get_models():
        if model is HistoryEntry or not path_to_case(model):
            continue
        again = getattr(model, "MADE_AGAIN", False)
        rows = model._default_manager.filter(**{path_to_case(model): case.pk}).order_by("pk")
        found[model.__name__] = [
            {
                field.name: field.value_from_object(row)
                for field in model._meta.concrete_fields
                # What is made again is the same under another key.
                if field.name not in NOT_COMPARED | TOLD_ANEW.get(model.__name__, set())
                and not (again and field.primary_key)
            }
            for row in rows
        ]
        if again:
            found[model.__name__].sort(key=repr)
    return found


def path_to_case(model: type[models.Model]) -> str:
    """How a row of this model leads to its case, if it does."""
    if model is Case:
        return "pk"
    for field in model._meta.concrete_fields:
        if field.related_model is Case:
            return field.name
    return {"BoxItem": "box__case", "LinePhotograph": "entry__case"}.get(model.__name__, "")
