"""A try-in as a bench and a dentist answer it: what a walk enters where nothing is said."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from labcases.enums import TryInOutcome
from labcases.enums.tryin import Closing, LipContact, PatientSaw, PatientWord
from labcases.reference.checklists import bench_pauses, lines_of, mouth_pauses

D = Decimal


def judged(arch: str, outcome: str) -> dict[str, Any]:
    """A try-in as a dentist records it: all is well, or what the outcome says is made again."""
    answers = {line.key: "ok" for line in lines_of(mouth_pauses(arch))}
    words: dict[str, str] = {}
    if outcome == TryInOutcome.REDO:
        answers["plane"] = "redo"
        words["plane"] = "drops to the right"
    elif outcome == TryInOutcome.NEW_RECORD:
        answers["centric_mouth"] = "redo"
    elif outcome == TryInOutcome.APPROVED_WITH_CHANGES:
        answers["width"] = "change"
        words["width"] = "26 in by 1 mm"
    again = outcome == TryInOutcome.NEW_RECORD
    return {
        "answers": answers,
        "words": words,
        "vertical_rest_mm": D("71"),
        "vertical_mm": D("68"),
        "centric": [[Closing.FORWARD.value, "0.8"]] * 3
        if again
        else [[Closing.SAME.value, ""]] * 3,
        "speaking_mm": D("1.5"),
        "display_rest_mm": D("2.5"),
        "display_smile_mm": D("8"),
        "midline_mm": D("0"),
        "length_change_mm": D("0"),
        "lip_contact": LipContact.MEETS,
        "patient_saw": PatientSaw.PHOTOGRAPHS,
        "patient_word": PatientWord.AS_SHOWN,
        "patient_list": "",
        "patient_asked_by": "the dentist",
        "outcome": outcome,
        "changes": "",
    }


def bench_checked(arch: str) -> dict[str, Any]:
    """What a technician answers before the base leaves."""
    return {"answers": {line.key: "yes" for line in lines_of(bench_pauses(arch))}, "words": {}}
