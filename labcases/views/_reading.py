"""What the pages of the bench show beside their forms: answers, gaps, and the prescription."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from django.db import models

from labcases.domain import history
from labcases.domain.gates import Missing
from labcases.forms.base import PartForm
from labcases.models import Case
from labcases.views._answers import value_of
from labcases.views._lookup import link_to
from labcases.views._words import sentence_case, split_unit


def pairs(row: models.Model | None, form: type[PartForm]) -> list[dict[str, str]]:
    """A stored row for people who look but do not write; nothing when there is none."""
    if row is None or row.pk is None:
        return []
    return [
        {"label": str(form.base_fields[name].label), "value": value_of(row, name)}
        for name in form._meta.fields or ()
    ]


def gaps(case: Case, missing: Iterable[Missing]) -> list[dict[str, str]]:
    """What the next gate still lacks of a page, each with the field that mends it."""
    return [{"text": item.text, "url": link_to(case, item), "link": "Go there"} for item in missing]


def differences(row: models.Model | None, case: Case, same: Mapping[str, str]) -> list[str]:
    """Where a bench entry says another thing than the prescription in force.

    ``same`` maps a field of the entry to the field that it was carried over from.
    """
    if row is None or row.pk is None:
        return []
    prescribed = case.prescription
    found = []
    for own, theirs in same.items():
        here, there = value_of(row, own), value_of(prescribed, theirs)
        if there and here != there:
            label, _unit = split_unit(history.label(row, own))
            found.append(
                f"{sentence_case(label)}: the prescription says {there}, this page says "
                f"{here or 'nothing'}."
            )
    return found
