"""Every gap on the way from the final wax to the remount."""

from __future__ import annotations

from decimal import Decimal

from labcases.domain import trimming
from labcases.enums import (
    CheckKind,
    SetUpAct,
    SetUpPart,
    Stage,
    TrimMethod,
    TryInOutcome,
)
from labcases.enums.wax import WaxList
from labcases.management.walk import Walk
from tests.labcases.domain.gaps import (
    Act,
    Gap,
    another_photograph,
    answered,
    approval,
    both,
    checked,
    done,
    erase,
    go,
    judge,
    judged_before,
    log,
    out_of_view,
    photographed,
    revise,
    selection,
    settings,
    strike,
    teeth_here,
    unanswered,
    undone,
    wax,
)

D = Decimal
MANAGER, DENTIST = "manager", "dentist"
NOT_APPROVED = "The try-in is not approved. The dentist may waive it with a reason."


def not_tried_in(walk: Walk) -> None:
    walk.case.try_ins.update(outcome="", decided_at=None)


def no_check(walk: Walk) -> None:
    walk.case.check_runs.filter(kind=CheckKind.CLEARANCE).delete()


def approve(walk: Walk) -> None:
    walk.approve_wax()


def cut(tooth: str) -> Act:
    """One stone tooth is trimmed further than the log said until then."""
    return lambda walk: trimming.log(
        case=walk.reload(),
        by=walk.hands.technician,
        method=TrimMethod.ALTERNATE,
        trims=[{"tooth": tooth, "labial_mm": D("2.25")}],
    )


another_shade = both(
    revise(shade="A3"),
    selection(shade="A3"),
    teeth_here,
    done(SetUpPart.POSTERIOR, separable_base=True),
    done(SetUpPart.ANTERIOR),
    go(Stage.FINAL_WAX),
    approve,
)

TRY_IN = (
    Gap(
        *("try-in not judged", Stage.PROCESSING, NOT_APPROVED, "try_in", "outcome"),
        lose=not_tried_in,
        mend=judge(TryInOutcome.APPROVED),
        passes=DENTIST,
    ),
    Gap(
        *("try-in wants a new record", Stage.PROCESSING, NOT_APPROVED, "try_in", "outcome"),
        lose=judged_before(TryInOutcome.NEW_RECORD),
        mend=judge(TryInOutcome.APPROVED_WITH_CHANGES),
        passes=DENTIST,
    ),
    Gap(
        *("no try-in took place", Stage.PROCESSING, NOT_APPROVED, "try_in", ""),
        lose=both(erase("bench_checks"), erase("try_ins")),
        mend=both(
            *(go(Stage.SET_UP), checked, go(Stage.TRY_IN), judge(TryInOutcome.APPROVED)),
            *(go(Stage.SET_UP), go(Stage.FINAL_WAX)),
        ),
        passes=DENTIST,
    ),
    Gap(
        *("try-in of other teeth", Stage.PROCESSING),
        "The try-in was approved for revision 1; revision 2 is in force.",
        *("try_in", "outcome"),
        lose=another_shade,
        mend=judge(TryInOutcome.APPROVED),
        passes=DENTIST,
    ),
)

FINAL_WAX = (
    Gap(
        *("no final wax", Stage.PROCESSING, "Enter the final wax.", "final_wax", ""),
        lose=erase("final_wax"),
        mend=both(lambda walk: walk.wax(), approve),
    ),
    Gap(
        *("wax not approved", Stage.PROCESSING),
        *("The dentist has not approved the final wax.", "final_wax", "approve"),
        lose=approval(approved_at=None),
        mend=approve,
    ),
    Gap(
        *("wax approved for another revision", Stage.PROCESSING),
        "The final wax was approved for an earlier prescription. Ask the dentist again.",
        *("final_wax", "approve"),
        lose=revise(instructions="Keep the gap between the central incisors."),
        mend=approve,
    ),
    Gap(
        *("trimming not approved", Stage.PROCESSING),
        "The dentist has not approved the trimming of the cast and any change of bone.",
        *("final_wax", "trimming_approved"),
        lose=approval(trimming_approved=False),
        mend=approve,
    ),
    *(
        Gap(
            *(f"trimming {what} after the approval", Stage.PROCESSING),
            "The cast is trimmed otherwise than the dentist approved it. Ask the dentist again.",
            *("final_wax", "trimming_approved"),
            lose=lose,
            mend=mend,
        )
        for what, lose, mend in (
            ("logged", cut("11"), approve),
            ("struck out", strike(SetUpAct.TRIMMED), approve),
            ("logged by mistake", cut("11"), undone(SetUpAct.TRIMMED)),
        )
    ),
    Gap(
        *("no photograph from in front", Stage.PROCESSING),
        *("Photograph the wax and add it: from in front.", "files", ""),
        lose=out_of_view("intraoral front"),
        mend=photographed,
    ),
    Gap(
        *("approved by a photograph that is gone", Stage.PROCESSING),
        "A photograph that the dentist approved the wax by is out of view. Ask the dentist again.",
        *("final_wax", "approve"),
        lose=both(another_photograph, out_of_view("intraoral front")),
        mend=approve,
    ),
    *(
        Gap(
            *(f"{field} {lost}", Stage.PROCESSING, text, "final_wax", field),
            lose=approval(**{field: lost}),
            mend=wax(**{field: mended}),
        )
        for field, text, lost, mended in (
            (
                "overjet_mm",
                "Measure the overjet in the wax; it was measured before extraction.",
                *(None, D("2")),
            ),
            (
                "overbite_mm",
                "Measure the overbite in the wax; it was measured before extraction.",
                *(None, D("1")),
            ),
            (
                "incisal_display_mm",
                "Measure the incisal display in the wax; it was measured before extraction.",
                *(None, D("2.5")),
            ),
            (
                "midline_offset_mm",
                "Measure the midline offset in the wax; it was measured before extraction.",
                *(None, D("0")),
            ),
            (
                "bone_change_planned",
                *("Say whether a change of bone is planned.", None, False),
            ),
            (
                "duplicate_made",
                *("Make a duplicate of the trimmed cast and tick it.", False, True),
            ),
            ("flange_kind", "Say how the flange is made.", "", "full flange"),
            (
                "flange_kind",
                "The prescription wants: full labial flange. The wax has: open face, teeth set "
                "into the sockets. Correct the wax, or ask the dentist for a revision.",
                *("socketed", "full flange"),
            ),
            ("flange_front_mm", "Measure the flange at the midline.", None, D("2")),
            ("undercut_kind", "Say what is done about undercuts.", "", "none"),
            ("insertion", "Say along which path the denture goes in.", "", "straight"),
            ("template_wanted", "Decide whether a template is made.", None, False),
        )
    ),
    Gap(
        *("a difference without words", Stage.PROCESSING),
        "The overjet in wax differs by +1\N{NO-BREAK SPACE}mm from the record. Correct the wax, or "
        "say in words how that is as prescribed.",
        *("final_wax", "words_overjet_mm"),
        lose=approval(overjet_mm=D("3")),
        mend=wax(as_prescribed={"overjet_mm": "3 mm wanted, R01"}),
    ),
    Gap(
        *("bone without a template", Stage.PROCESSING),
        "No template is made, though one is prescribed or bone is to change. Say in words who "
        "decided so.",
        *("final_wax", "template_decision"),
        lose=approval(bone_change_planned=True, template_wanted=False),
        mend=wax(template_decision="the dentist has one"),
    ),
    Gap(
        *("a line of the teeth open", Stage.PROCESSING),
        "Answer every line of the final-wax checklist for the teeth; 2 of 15 are open.",
        *("wax_teeth", "answer_papillae"),
        lose=unanswered(papillae="", necks=""),
        mend=answered(WaxList.TEETH),
    ),
    Gap(
        *("a no of the base", Stage.PROCESSING),
        "The final-wax checklist says no: The palate is even. Mend it and answer again.",
        *("wax_base", "answer_palate"),
        lose=unanswered(palate="no"),
        mend=answered(WaxList.BASE),
    ),
)

PIN_OFF = (
    "The pin stands {} mm from pin zero and 0.00 mm is agreed. Bring it back and log the reading."
)

PROCESSING = (
    *TRY_IN,
    *FINAL_WAX,
    Gap(
        *("pin not read", Stage.PROCESSING, "Read the pin and log it.", "setup", "after_mm"),
        lose=strike(SetUpAct.PIN_OPENED, SetUpAct.PIN_READING),
        mend=log(SetUpAct.PIN_READING, after_mm=D("-0.05")),
    ),
    *(
        Gap(
            *(f"pin at {reading}", Stage.PROCESSING, PIN_OFF.format(reading), "setup", "after_mm"),
            lose=log(SetUpAct.PIN_READING, after_mm=D(reading)),
            mend=log(SetUpAct.PIN_READING, after_mm=D("0")),
        )
        for reading in ("0.06", "-0.06", "1.50")
    ),
    Gap(
        *("no clearance check", Stage.PROCESSING),
        *("The clearance check has not been computed.", "check", "compute"),
        lose=no_check,
        mend=lambda walk: walk.compute(),
    ),
    Gap(
        *("stale clearance check", Stage.PROCESSING),
        "The clearance check is stale: an input changed. Compute it again.",
        *("check", "compute"),
        lose=settings(condylar_left_deg=D("31")),
        mend=lambda walk: walk.compute(),
    ),
    Gap(
        *("no handoff", Stage.PROCESSING),
        *("Fill in the processing handoff.", "handoff", "base_product"),
        lose=lambda walk: None,
        mend=lambda walk: None,
    ),
)

GAPS = PROCESSING
