"""Incident sheet: what happened, what it undid, who was told, what it cost; never a name."""

from __future__ import annotations

from typing import Any

from labcases.domain import foreseeing, identity, incident
from labcases.enums import IncidentEffect, PaperKind, Side, Stage
from labcases.models import Case, Incident, User
from labcases.outputs import paper
from labcases.reference.incidents import kinds

TEMPLATE = "outputs/incident_sheet.html"


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """Every report of a case that was not struck out, the newest first, and how many were."""
    rows = case.incidents.select_related("by", "closed_by", "cast").prefetch_related("looks__by")
    standing = [row for row in rows.order_by("-id") if row.struck_at is None]
    return {
        **paper.common(case, PaperKind.INCIDENT, by, notation),
        "reports": [_shown(row) for row in standing],
        "struck": rows.filter(struck_at__isnull=False).count(),
    }


def _shown(row: Incident) -> dict[str, Any]:
    kind = kinds().get(row.kind)
    doubt = bool(kind and kind.effect == IncidentEffect.FREEZE)
    return {
        "row": row,
        "words": incident.in_words(row),
        "teeth": foreseeing.tooth_words(row.teeth),
        "went": _went(row),
        "told": " and ".join(str(Side(side).label).lower() for side in row.told),
        "now": kind.now if kind else (),
        "cautions": kind.cautions if kind else (),
        "lacks": identity.lacks(row) if doubt else "",
    }


def _went(row: Incident) -> str:
    before, after = str(Stage(row.stage_before).label), str(Stage(row.stage_after).label)
    if before == after:
        return f"stayed at {before.lower()}"
    return f"{before.lower()} to {after.lower()}"
