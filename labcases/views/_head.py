"""The ticket that heads every page of a case: what it is, where it stands, what to mind."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from labcases import codes
from labcases.domain import (
    access,
    differences,
    disinfecting,
    incident_effects,
    on_paper,
    pairs,
    queries,
    remaking,
    stages,
)
from labcases.domain.queries import Line
from labcases.enums import ENDED_EARLY, Allergy, PrescriptionStatus
from labcases.models import Case, PatientName, Prescription, User
from labcases.templatetags.units import due_date, long_date, long_time


def head_context(case: Case, user: User) -> dict[str, Any]:
    """What ``case/_head.html`` and the buttons of every page of a case read.

    Returns
    -------
    dict
        ``case``, ``head`` (the ticket), ``line`` (stage, late, who is waited for) and
        ``acts`` (the acts of the access table that the person has on this case).
    """
    line = queries.line(case)
    acts = access.acts(user, case)
    row = case.prescription
    return {
        "case": case,
        "line": line,
        "acts": acts,
        "head": {
            "code": codes.grouped(case.code),
            "url": reverse("case", args=[case.code]),
            "patient_code": case.patient.code,
            "patient_name": _name(case) if "see the patient's name" in acts else "",
            "office": case.office.name,
            "laboratory": case.laboratory.name,
            "arch": row.get_arch_display(),
            "glyph": _glyph(case, line),
            "stage": _stage(case, user, line),
            "late": line.late_days > 0,
            "waits_for": _waits_for(case, line),
            "linked": _linked(case),
            "remake_of": _remake_of(case),
            "revision": f"R{row.revision:02d}, {row.get_status_display().lower()}{_paper(row)}",
            "safety": {**_allergy(case, row), **_infection(case), **_surgery(case, line)},
        },
    }


def _paper(row: Prescription) -> str:
    """Where the signature stands, or comes from, when nobody signed by log-in."""
    if row.status == PrescriptionStatus.DRAFT:
        return ", from a signed paper" if on_paper.of_draft(row) else ""
    return " on paper, page on file" if on_paper.of_revision(row) else ""


def _linked(case: Case) -> dict[str, str]:
    """The case of the other arch; who sees this one sees it, as both have the same houses."""
    other = pairs.other(case)
    if other is None:
        return {}
    return {
        "name": pairs.named(other),
        "url": reverse("case", args=[other.code]),
        "stage": stages.stage_words(other).lower(),
    }


def _remake_of(case: Case) -> dict[str, str]:
    """The case in place of which this one is made."""
    made = remaking.made_from(case)
    if made is None:
        return {}
    return {"name": codes.grouped(made.old.code), "url": reverse("case", args=[made.old.code])}


def bench_context(case: Case, user: User) -> dict[str, Any]:
    """The same for a page of the bench: large type and keys for those who work at one."""
    context = head_context(case, user)
    return {**context, "place": "bench" if "bench work" in context["acts"] else ""}


def _name(case: Case) -> str:
    row = PatientName.objects.filter(patient=case.patient_id).first()
    return row.name if row else ""


def _glyph(case: Case, line: Line) -> str:
    return "ended" if case.stage in ENDED_EARLY else line.glyph


def _stage(case: Case, user: User, line: Line) -> str:
    """The stage; people of the office read where the case is before it."""
    stage = stages.stage_words(case)
    if not access.positions(user, case) & {access.D, access.O} or not case.is_open:
        return stage
    return f"{line.plain_state[:1].upper()}{line.plain_state[1:]}: {stage.lower()}"


def _waits_for(case: Case, line: Line) -> str:
    """Why an open case rests; one that has ended waits for nobody."""
    said: list[str] = []
    if not case.is_open:
        return ""
    if case.on_hold:
        said.append(f"On hold: {case.hold_reason.rstrip('.')}.")
    said += [
        f"Waits for the {one.on.label.lower()} since {long_time(one.since)}: {one.what}."
        for one in line.waiting
    ]
    return " ".join(said)


def _allergy(case: Case, row: Prescription) -> dict[str, Any]:
    late = incident_effects.late_words(case)
    if late:
        listed = row.allergy_text if row.allergy == Allergy.LISTED else ""
        return {"allergy": "; ".join(one for one in (listed, *late) if one), "allergy_alert": True}
    if row.allergy == Allergy.NOT_ASKED:
        return {"allergy": "Not asked yet", "allergy_ask": True}
    if row.allergy == Allergy.LISTED:
        return {"allergy": row.allergy_text or "Listed, but not named", "allergy_alert": True}
    signed = row.status == PrescriptionStatus.SIGNED
    return {"allergy": "None known" if signed else "None known, not signed yet"}


def _infection(case: Case) -> dict[str, Any]:
    boxes = list(disinfecting.with_items(case.boxes.all()))
    if not boxes:
        return {"infection": "No box packed yet", "infection_ask": True}
    gone = [differences.gone_words(box) for box in boxes if box.trouble]
    unsafe = disinfecting.names(disinfecting.contaminated(boxes))
    if unsafe:
        return {
            "infection": " ".join(
                (
                    *gone,
                    f"{unsafe}: disinfection not declared or too short.",
                    disinfecting.CONTAMINATED,
                )
            ),
            "infection_alert": True,
        }
    if len(gone) == len(boxes):
        return {"infection": " ".join(gone), "infection_ask": True}
    rest = f"Everything in the {'other ' if gone else ''}boxes is declared or logged as disinfected"
    return {"infection": " ".join((*gone, rest)), "infection_ask": bool(gone)}


def _surgery(case: Case, line: Line) -> dict[str, Any]:
    if case.surgery_on is None:
        return {"surgery": "No date yet", "surgery_ask": True}
    notes = []
    if case.surgery_confirmed_at:
        on_file = " on paper" if case.surgery_paper_id else ""
        notes.append(f"confirmed{on_file} {long_date(case.surgery_confirmed_at)}")
    else:
        notes.append("not confirmed by the dentist")
    if line.late_days:
        days = "day" if line.late_days == 1 else "days"
        notes.append(f"late by {line.late_days} working {days}")
    if line.outlook and line.outlook.missed:
        notes.append("cannot be met any more: see the dates")
    elif line.outlook and line.outlook.at_risk and not line.late_days:
        notes.append("at risk: see the dates")
    return {
        "surgery": due_date(case.surgery_on),
        "surgery_note": ", ".join(notes),
        "surgery_ask": not case.surgery_confirmed_at or bool(line.outlook and line.outlook.missed),
    }
