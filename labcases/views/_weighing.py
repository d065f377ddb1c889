"""What stands beside a prescription's answers: advice, the profile, and what sending wants."""

from __future__ import annotations

from typing import Any

from django.utils import timezone

from labcases.domain import advice, profiles, stages
from labcases.domain.gates import Missing
from labcases.enums import Stage
from labcases.forms.prescription import STEP_OF
from labcases.models import Case, Prescription
from labcases.views._lookup import link_to

PROFILE_GLYPHS = {profiles.Has.PRESENT: "done", profiles.Has.MISSING: "warning"}
PROFILE_BLOCKS = {"": "", "sign": "before signing", "send": "before sending"}


def advised(case: Case, row: Prescription) -> dict[str, Any]:
    """What to weigh before signing, and what is left open, each with the field to go to."""
    found = advice.of_prescription(row, timezone.localdate())
    shown = [
        {"text": one.text, "source": one.source, "level": one.level, "url": _field(case, one.field)}
        for one in found
    ]
    return {
        "warnings": [one for one in shown if one["level"] == advice.Level.WARNING],
        "left_open": [one for one in shown if one["level"] == advice.Level.OPTIONAL],
    }


def _field(case: Case, field: str) -> str:
    return link_to(case, Missing("", "prescription" if field in STEP_OF else "dates", field))


def to_send(case: Case) -> dict[str, Any]:
    """What sending still wants, while the case has not left; the front desk may fill it in."""
    if case.stage != Stage.DRAFT:
        return {}
    lacks = stages.missing(case, Stage.SENT)
    return {
        "to_send": [
            {"text": item.text, "url": link_to(case, item), "link": "Go there"} for item in lacks
        ],
        "sends": True,
    }


def profiled(case: Case, row: Prescription) -> list[dict[str, Any]]:
    """What the profiles of office and laboratory ask, and what this revision has of it."""
    return [
        {
            "profile": profile,
            "answers": [
                {
                    "words": answer.item.words,
                    "of": answer.item.of,
                    "has": answer.has,
                    "glyph": PROFILE_GLYPHS.get(answer.has, "not asked"),
                    "blocks": PROFILE_BLOCKS[answer.item.blocks],
                }
                for answer in profiles.asked(profile, case, row)
            ],
        }
        for profile in profiles.chosen(case)
    ]
