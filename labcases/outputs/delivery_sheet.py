"""Release and delivery sheet: what left the laboratory, and what the office found and did.

It goes out with the denture. What is on record is printed; lines are left for the rest.
"""

from __future__ import annotations

from typing import Any

from labcases.domain import delivered, finishing, lots, remount_ledger
from labcases.enums import PaperKind
from labcases.enums.delivery import Liner, TemplateUse
from labcases.models import ArrivalCheck, Case, Delivery, Release, RemountCheck, Surgery, User
from labcases.outputs import paper, remount_view, statement_sheet
from labcases.outputs.try_in_sheet import answered_pauses
from labcases.reference.delivery import arrival_checklist, cautions, delivery_checklist
from labcases.reference.remount import remount_checklist
from labcases.templatetags.units import tooth_number

TEMPLATE = "outputs/delivery_sheet.html"
ANSWERS = ("yes", "no")
LINERS = (Liner.CONDITIONER, Liner.SOFT)


def build_context(case: Case, *, by: User, notation: str) -> dict[str, Any]:
    """Every part as it is on record, or blank; a delivery that nobody reported is no report."""
    arrival: ArrivalCheck | None = getattr(case, "arrival", None)
    surgery: Surgery | None = getattr(case, "surgery", None)
    row: Delivery | None = getattr(case, "delivery", None)
    told = row if row and row.reported else None
    return {
        **paper.common(case, PaperKind.DELIVERY, by, notation),
        **_released(case),
        "statement": statement_sheet.told(case),
        "answers": ANSWERS,
        "arrival": arrival,
        "arrival_pauses": answered_pauses(
            arrival_checklist(), ANSWERS, *(_said(arrival) if arrival else ({}, {}))
        ),
        "surgery": surgery,
        "planned": _teeth(delivered.planned(case), notation),
        "teeth_out": _teeth(surgery.teeth_out, notation) if surgery else "",
        "template_uses": TemplateUse.labels,
        "delivery": told,
        "unreported": bool(row and not row.reported),
        "delivery_pauses": answered_pauses(
            delivery_checklist(), ANSWERS, *(_said(told) if told else ({}, {}))
        ),
        "adjusted": _teeth(told.adjusted, notation) if told else "",
        "liner": told if told and told.liner_kind in LINERS else None,
        "cautions": [*cautions("surgery"), *cautions("delivery")],
    }


def _released(case: Case) -> dict[str, Any]:
    """What the laboratory did and looked at before the denture left."""
    release: Release | None = getattr(case, "release", None)
    check: RemountCheck | None = getattr(case, "remount_check", None)
    ledger = remount_ledger.of(case)
    return {
        "release": release,
        "stands": remount_view.stands(ledger),
        "logged": bool(remount_ledger.standing(case)),
        "lots": lots.at_release(case),
        "finishing": getattr(case, "finishing", None),
        "mark_wanted": finishing.is_wanted(case),
        "template_wanted": finishing.template_wanted(case),
        "remount_check": check,
        "remount_pauses": answered_pauses(
            remount_checklist(), ANSWERS, *(_said(check) if check else ({}, {}))
        ),
    }


def _said(row: ArrivalCheck | Delivery | RemountCheck) -> tuple[dict[str, str], dict[str, str]]:
    return row.answers, row.words


def _teeth(teeth: list[str], notation: str) -> str:
    return " ".join(tooth_number(tooth, notation) for tooth in teeth)
