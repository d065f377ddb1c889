"""A prescription's answers in words: for checking, reading and comparing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import models
from django.db.models import TextChoices
from django.urls import reverse

from labcases import notation as numbers
from labcases.domain import teeth
from labcases.domain.prescription import CLINICAL
from labcases.enums import (
    Allergy,
    Arch,
    Notation,
    OpposingTooth,
    PhotographView,
    Route,
    ToothStatus,
)
from labcases.enums.prescribing import NaturalChanges, SettingsWish
from labcases.forms.prescription import STEP_TITLES, STEPS, fields_of
from labcases.models import Prescription
from labcases.models.articulator import DEVIATIONS
from labcases.outputs.arch import MARK_OF_STATUS, ArchDrawing, ToothMark, arch_drawing
from labcases.templatetags.units import deg_within, long_date, mm
from labcases.views._words import in_words

CHARTS: dict[str, type[TextChoices]] = {"teeth": ToothStatus, "opposing": OpposingTooth}
TOGETHER_LABELS = {
    "probing_mm": "Depth of pockets",
    "over_eruption_mm": "Teeth beyond the occlusal plane",
}
CHART_LABELS = {"teeth": "Teeth of the arch", "opposing": "Teeth of the opposing arch"}


@dataclass(frozen=True)
class Group:
    """Positions with one mark, each in words."""

    label: str
    teeth: list[str]


@dataclass(frozen=True)
class Chart:
    """An arch as a picture and as words."""

    title: str
    drawing: ArchDrawing
    groups: list[Group]
    change_url: str


@dataclass(frozen=True)
class Section:
    """What one step asked, as label and value, and its chart if it has one."""

    title: str
    pairs: list[dict[str, str]]
    chart: Chart | None


def label_of(field: str) -> str:
    """What a field is called on its step."""
    if field in CHART_LABELS or field in TOGETHER_LABELS:
        return CHART_LABELS.get(field) or TOGETHER_LABELS[field]
    form = next(STEPS[step] for step in STEPS if field in fields_of(step))
    return str(form.base_fields[field].label)


def value_of(row: models.Model, field: str, notation: str = Notation.ISO_3950) -> str:
    """A value in words with its unit; empty where nothing is said."""
    value = getattr(row, field)
    if field in TOGETHER_LABELS:
        return "; ".join(f"{numbers.show(t, notation)}: {mm(Decimal(value[t]))}" for t in value)
    if field == "photographs":
        return ", ".join(str(PhotographView(view).label) for view in value)
    if field.endswith("_mm"):
        return mm(value)
    if field.endswith("_deg"):
        return deg_within(value, getattr(row, DEVIATIONS.get(field, ""), None))
    if field.endswith("_on"):
        return long_date(value)
    return in_words(row, field, value)


def sections(row: Prescription, notation: str, *, change: bool) -> list[Section]:
    """Every answer, step by step; ``change`` adds a link to the field that holds it."""
    return [
        Section(
            title=STEP_TITLES[step],
            pairs=[
                {
                    "label": label_of(field),
                    "value": value_of(row, field, notation),
                    "url": field_url(row, step, field) if change else "",
                }
                for field in fields_of(step)
                if field not in CHARTS and _is_asked(row, field)
            ],
            chart=next(
                (
                    chart_of(row, field, notation, change=change)
                    for field in fields_of(step)
                    if field in CHARTS
                ),
                None,
            ),
        )
        for step in STEPS
    ]


def _is_asked(row: Prescription, field: str) -> bool:
    """Whether an empty answer says anything on this route and with these other answers."""
    if field == "allergy_text":
        return bool(row.allergy_text) or row.allergy == Allergy.LISTED
    if field == "natural_changes_text":
        return bool(row.natural_changes_text) or row.natural_changes == NaturalChanges.LISTED
    if field == "settings_text":
        return bool(row.settings_text) or row.settings_wish == SettingsWish.WRITTEN
    if field in ("post_dam", "lower_border"):
        return (field == "post_dam") is (row.arch == Arch.UPPER)
    if field == "probing_mm":
        return bool(row.probing_mm or teeth.to_be_extracted(row))
    if field in ("over_eruption_mm", "over_eruption_by"):
        return OpposingTooth.NATURAL in row.opposing.values() or bool(row.over_eruption_mm)
    if field == "first_extraction_on":
        return row.first_extraction_on is not None or row.route == Route.CONVENTIONAL
    if field == "healing_reason":
        return bool(row.healing_reason)
    return True


def field_url(row: Prescription, step: str, field: str) -> str:
    return f"{reverse('prescription_step', args=[row.case.code, step])}#id_{field}"


def chart_of(row: Prescription, field: str, notation: str, *, change: bool = False) -> Chart:
    arch = row.arch if field == "teeth" else teeth.other_arch(row.arch)
    marked = getattr(row, field)
    part = "receives the denture" if field == "teeth" else "opposing"
    return Chart(
        title=f"{Arch(arch).label} arch, {part}",
        drawing=picture(arch, marked, notation),
        groups=_groups(arch, marked, CHARTS[field], notation),
        change_url=field_url(row, field, field) if change else "",
    )


def picture(
    arch: str, marked: dict[str, str], notation: str, *, links: bool = False
) -> ArchDrawing:
    """The arch as it is marked; ``links`` leads from each tooth to its row on the page."""
    return arch_drawing(
        arch=Arch(arch),
        teeth={
            tooth: ToothMark(
                mark=MARK_OF_STATUS[_mark(status)], url=f"#row_{tooth}" if links else ""
            )
            for tooth, status in marked.items()
        },
        notation=Notation(notation),
    )


def _mark(status: str) -> ToothStatus | OpposingTooth:
    return ToothStatus(status) if status in ToothStatus.values else OpposingTooth(status)


def _groups(
    arch: str, marked: dict[str, str], marks: type[TextChoices], notation: str
) -> list[Group]:
    positions = teeth.positions(arch)
    found = [
        Group(str(mark.label), [in_full(t, notation) for t in positions if marked.get(t) == mark])
        for mark in marks
    ]
    silent = [in_full(tooth, notation) for tooth in positions if tooth not in marked]
    if silent:
        found.append(Group("Not said yet", silent))
    return [group for group in found if group.teeth]


def in_full(tooth: str, notation: str) -> str:
    """A tooth with both numbers and its name, so that a slip of a digit is seen."""
    return f"{numbers.show(tooth, notation)}, {numbers.name(tooth)}"


@dataclass(frozen=True)
class Change:
    """One field in which two revisions differ."""

    label: str
    before: str
    after: str
    undoes: str


def changes(
    row: Prescription, before: Prescription, undone: dict[str, Any], notation: str
) -> list[Change]:
    """What a later revision changes, tooth by tooth, with the stage that each undoes."""
    found: list[Change] = []
    for field in CLINICAL:
        stage = undone.get(field)
        if getattr(row, field) == getattr(before, field):
            continue
        word = str(stage.label) if stage else ""
        if field not in CHARTS:
            found.append(
                Change(
                    label_of(field),
                    value_of(before, field, notation),
                    value_of(row, field, notation),
                    word,
                )
            )
            continue
        old, new = getattr(before, field), getattr(row, field)
        for tooth in differing(old, new):
            found.append(
                Change(
                    in_full(tooth, notation),
                    in_chart(field, old.get(tooth, "")),
                    in_chart(field, new.get(tooth, "")),
                    word,
                )
            )
    return found


def differing(old: dict[str, str], new: dict[str, str]) -> list[str]:
    """Positions on which two charts differ, in mouth order."""
    order: Iterable[str] = (*numbers.UPPER, *numbers.LOWER)
    return [tooth for tooth in order if old.get(tooth) != new.get(tooth)]


def in_chart(field: str, mark: str) -> str:
    """The word of a mark; "not said yet" where there is none."""
    return str(CHARTS[field](mark).label) if mark else "Not said yet"
