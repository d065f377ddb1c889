"""What must be true before a case goes on, as sentences a person can act on.

Each check answers with the things that are missing, each with the page and the
field that mend it. ``domain/stages.py`` asks them; nothing else decides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from django.utils import timezone

from labcases.domain import calculations, checks, history, ledger, teeth, undoing
from labcases.enums import (
    Allergy,
    Arch,
    BoxContent,
    BoxDirection,
    CheckKind,
    Flange,
    JawRecord,
    Movement,
    PrescriptionStatus,
    Route,
    SetUpPart,
    Stage,
    ToothStatus,
    TryInOutcome,
    TryInWish,
    Verification,
)
from labcases.models import Box, Case, Prescription

MANAGER = "pass a manager's gate"
DENTIST = "pass a dentist's gate"
PASSES = frozenset({MANAGER, DENTIST})

# Two readings of centric relation count as the same within this (common practice, no source).
RECORDS_AGREE_MM = Decimal("0.3")


@dataclass(frozen=True)
class Missing:
    """One thing that is missing: the sentence, and where it is mended.

    ``part`` names a page and ``field`` a form field on it; ``passable`` is the act
    of the access table that may go on without it, with a reason.
    """

    text: str
    part: str
    field: str = ""
    passable: str | None = None


Check = Callable[[Case], Iterator[Missing]]


# --- signing: the clinical part ------------------------------------------------------------

_ASKED = {
    "base_material": "Choose the base material.",
    "tooth_material": "Choose the material of the teeth.",
    "shade_system": "Name the shade system.",
    "shade": "Enter the shade.",
    "mould": "Enter the mould, or that the natural teeth are to be copied.",
    "scheme": "Choose the occlusal scheme.",
    "jaw_record": "Choose the jaw record: maximum intercuspation or centric relation.",
    "flange": "Choose the flange.",
    "try_in": "Say whether a try-in is wanted.",
}


def to_sign(prescription: Prescription) -> list[Missing]:
    """What the clinical part still lacks before a dentist can sign it."""
    return [Missing(text, "prescription", field) for field, text in _clinical(prescription)]


def _clinical(row: Prescription) -> Iterator[tuple[str, str]]:
    yield from _clinical_teeth(row)
    for field, text in _ASKED.items():
        if not getattr(row, field):
            yield field, text
    for field, text in (
        ("overjet_mm", "Measure the overjet before extraction; nothing can be copied later."),
        ("overbite_mm", "Measure the overbite before extraction; nothing can be copied later."),
    ):
        if getattr(row, field) is None:
            yield field, text
    if row.allergy == Allergy.NOT_ASKED:
        yield "allergy", "Ask about allergies and enter the answer."
    if row.allergy == Allergy.LISTED and not row.allergy_text:
        yield "allergy_text", "Enter which allergy was named."
    if row.route == Route.INTERIM and row.try_in == TryInWish.WANTED:
        yield (
            "try_in",
            "On the interim route teeth stand in both segments until surgery, so there is no "
            "try-in. Choose 'not possible on this route' or change the route.",
        )
    if row.flange == Flange.SOCKETED and row.arch == Arch.LOWER:
        yield "flange", "Open-face teeth are for an upper denture only. Choose another flange."


def _clinical_teeth(row: Prescription) -> Iterator[tuple[str, str]]:
    silent = [t for t in teeth.positions(row.arch) if t not in row.teeth]
    if silent:
        yield "teeth", f"Mark every position of the {row.arch} arch; open: {', '.join(silent)}."
    other = teeth.other_arch(row.arch)
    silent = [t for t in teeth.positions(other) if t not in row.opposing]
    if silent:
        yield "opposing", f"Mark every position of the {other} arch; open: {', '.join(silent)}."
    if not teeth.replaced(row):
        yield "teeth", "No position is to be replaced. Mark the lost teeth and those to extract."
    first = [t for t, status in row.teeth.items() if status == ToothStatus.EXTRACT_FIRST]
    if row.route == Route.INTERIM and first:
        yield (
            "teeth",
            "On the interim route all remaining teeth stay until surgery. "
            f"Mark {', '.join(first)} as to be extracted at surgery, or change the route.",
        )
    molars = [
        t
        for t, status in row.teeth.items()
        if status == ToothStatus.EXTRACT_AT_SURGERY and t[1] in "678"
    ]
    if row.route == Route.CONVENTIONAL and molars:
        yield (
            "teeth",
            "On the conventional route molars come out and heal before the records. "
            f"Change {', '.join(molars)}, or change the route.",
        )
    if row.route == Route.CONVENTIONAL and first and row.first_extraction_on is None:
        yield "first_extraction_on", "Enter the day on which the first teeth are extracted."
    surgery = row.case.surgery_on
    if row.first_extraction_on and surgery and row.first_extraction_on >= surgery:
        yield (
            "first_extraction_on",
            "The first extraction must lie before the surgery day. Correct one of the two dates.",
        )


# --- gates -----------------------------------------------------------------------------------


def signed(case: Case) -> Iterator[Missing]:
    if case.prescription.status != PrescriptionStatus.SIGNED:
        yield Missing("The dentist has not signed the prescription.", "sign")


def surgery_known(case: Case) -> Iterator[Missing]:
    if case.surgery_on is None:
        yield Missing("Enter the surgery date.", "dates", "surgery_on")


def box_ready(case: Case) -> Iterator[Missing]:
    boxes = list(case.boxes.filter(direction=BoxDirection.TO_LABORATORY))
    if not boxes:
        yield Missing("Pack a box: say what goes to the laboratory, and how many.", "box_new")
    for box in boxes:
        yield from box_may_leave(box)


def box_may_leave(box: Box) -> Iterator[Missing]:
    """A box leaves only when every item was disinfected for as long as its label says."""
    items = list(box.items.all())
    if not items:
        yield Missing("The box is empty. Enter what is in it.", "box")
    early = list(Stage).index(Stage(box.case.stage)) < list(Stage).index(Stage.RELEASED)
    if (
        early
        and box.direction == BoxDirection.TO_OFFICE
        and any(item.content == BoxContent.DENTURE for item in items)
    ):
        yield Missing("The denture is not released yet. It stays until it is.", "case")
    for item in items:
        if item.needs_disinfection and not item.disinfection_declared:
            yield Missing(
                f"Enter how the {item.get_content_display().lower()} was disinfected: agent, "
                "minutes on the label and minutes given.",
                "box",
            )
        elif item.needs_disinfection and item.disinfection_too_short:
            yield Missing(
                f"The {item.get_content_display().lower()} was disinfected for "
                f"{item.actual_minutes} of {item.label_minutes} minutes. Repeat it and enter the "
                "new time.",
                "box",
            )


def counted_in(case: Case) -> Iterator[Missing]:
    boxes = list(case.boxes.filter(direction=BoxDirection.TO_LABORATORY, sent_at__isnull=False))
    if not boxes or any(box.received_at is None for box in boxes):
        yield Missing("Take in the box and count what is in it.", "boxes")


def jaw_record_here(case: Case) -> Iterator[Missing]:
    here = case.boxes.filter(
        direction=BoxDirection.TO_LABORATORY,
        received_at__isnull=False,
        items__content=BoxContent.JAW_RECORD,
        items__received_count__gte=1,
    )
    asked = case.try_ins.filter(outcome=TryInOutcome.NEW_RECORD).last()
    if not here.exists():
        yield Missing("No jaw record has been counted in at the laboratory.", "boxes")
    elif asked and not here.filter(received_at__gt=asked.decided_at).exists():
        yield Missing(
            "No jaw record has been counted in since the try-in asked for a new one.", "boxes"
        )


def mounted(case: Case) -> Iterator[Missing]:
    row = getattr(case, "mounting", None)
    if row is None:
        yield Missing("Enter the mounting.", "mounting", passable=MANAGER)
        return
    if not row.casts_inspected:
        yield Missing("Inspect the casts and tick it.", "mounting", "casts_inspected", MANAGER)
    if not row.transfer:
        yield Missing("Say how the upper cast was transferred.", "mounting", "transfer", MANAGER)
    if row.pin_zero_mm is None:
        yield Missing("Read the pin at mounting.", "mounting", "pin_zero_mm", MANAGER)
    if row.jaw_record == JawRecord.MAXIMUM_INTERCUSPATION:
        points = row.foil_points or 0
        if row.verified_by_method != Verification.FOIL or points < 3 or not row.foil_pairs:
            yield Missing(
                "In maximum intercuspation the mounting is verified when at least three spread "
                "points and the pairs you name hold foil. Enter both.",
                "mounting",
                "foil_points",
                MANAGER,
            )
    elif row.jaw_record == JawRecord.CENTRIC_RELATION:
        agrees = (
            row.verified_by_method == Verification.SECOND_RECORD
            and row.agreement_mm is not None
            and row.agreement_mm <= RECORDS_AGREE_MM
        )
        closes = row.verified_by_method == Verification.SPLIT_CAST and row.split_cast_closes
        if not (agrees or closes):
            yield Missing(
                "In centric relation the mounting is verified when a second record agrees within "
                f"{RECORDS_AGREE_MM} mm or the split cast closes. Enter which.",
                "mounting",
                "agreement_mm",
                MANAGER,
            )
    else:
        yield Missing("Choose the jaw record of the mounting.", "mounting", "jaw_record", MANAGER)


def settings_valid(case: Case) -> Iterator[Missing]:
    record = getattr(case, "articulator", None)
    if record is None:
        yield Missing("Enter the articulator record.", "settings", passable=MANAGER)
        return
    findings = calculations.settings_findings(record)
    if findings.refusal:
        yield Missing(findings.refusal, "settings", findings.field)
    elif findings.warnings and record.acknowledged != findings.digest:
        count = len(findings.warnings)
        many = "unusual setting" if count == 1 else f"{count} unusual settings"
        yield Missing(
            f"Read and acknowledge the {many}.",
            "settings",
            "acknowledge",
            MANAGER,
        )


def teeth_in_hand(case: Case) -> Iterator[Missing]:
    row = getattr(case, "selection", None)
    if row is None:
        yield Missing("Enter the tooth selection.", "teeth", passable=MANAGER)
    elif not row.in_hand:
        yield Missing("The teeth are not in hand.", "teeth", "in_hand", MANAGER)


def height_known(case: Case) -> Iterator[Missing]:
    rows = {row.tooth: row for row in calculations.height_budget(case).rows}
    for tooth in teeth.posterior_sites(case.prescription):
        row = rows.get(tooth)
        if row is None or row.verdict == "not measured":
            yield Missing(
                f"Measure the space at {tooth}, or tick it as ample.",
                "sites",
                f"{tooth}-space_mm",
                MANAGER,
            )
        elif row.verdict == "short":
            yield Missing(
                f"At {tooth} the height is short by {row.short_by_mm:.2f} mm. Choose a way out "
                "and measure again.",
                "sites",
                f"{tooth}-space_mm",
                MANAGER,
            )


def posterior_done(case: Case) -> Iterator[Missing]:
    done = ledger.parts_done(case)
    if SetUpPart.POSTERIOR not in done:
        yield Missing("The posterior teeth are not logged as done.", "setup", "part", MANAGER)
    elif not done[SetUpPart.POSTERIOR].separable_base:
        yield Missing(
            "The posterior teeth must stand on a base that comes off the cast, so that they can "
            "be tried in alone.",
            "setup",
            "separable_base",
            MANAGER,
        )


def passes_as_wanted(case: Case) -> Iterator[Missing]:
    last = ledger.last_passes(case)
    for movement in Movement:
        entry = last.get(movement)
        if entry is None:
            yield Missing(
                f"No pass is logged for {movement.label.lower()}.", "setup", "movement", MANAGER
            )
        elif not entry.as_wanted:
            yield Missing(
                f"The last pass in {movement.label.lower()} was not as the scheme wants.",
                "setup",
                "movement",
                MANAGER,
            )


def ledger_balanced(case: Case, passable: str | None = None) -> Iterator[Missing]:
    balance = ledger.balance(case)
    if balance.reading_mm is None:
        yield Missing("Read the pin and log it.", "setup", "after_mm", passable)
    elif not balance.balanced:
        yield Missing(
            f"The pin stands {balance.from_zero_mm:.2f} mm from pin zero and "
            f"{balance.agreed_mm:.2f} mm is agreed. Bring it back and log the reading.",
            "setup",
            "after_mm",
            passable,
        )


def pin_as_agreed(case: Case) -> Iterator[Missing]:
    yield from ledger_balanced(case, MANAGER)


def both_parts_done(case: Case) -> Iterator[Missing]:
    done = ledger.parts_done(case)
    for part in SetUpPart:
        if part not in done:
            yield Missing(f"The {part.value} teeth are not logged as done.", "setup", "part")


def try_in_decided(case: Case) -> Iterator[Missing]:
    """On leaving the try-in: the dentist has said how it went."""
    last = case.try_ins.last()
    if last is None or not last.outcome:
        yield Missing("The dentist has not recorded the try-in.", "try_in", "outcome")


def try_in_wants_new_record(case: Case) -> Iterator[Missing]:
    last = case.try_ins.last()
    if last is None or last.outcome != TryInOutcome.NEW_RECORD:
        yield Missing(
            "A new jaw record is made when the try-in asks for one. The last try-in does not.",
            "try_in",
            "outcome",
        )


def try_in_answered(case: Case) -> Iterator[Missing]:
    wish = case.prescription.try_in
    if wish in (TryInWish.WAIVED, TryInWish.NOT_POSSIBLE):
        return
    last = case.try_ins.last()
    answered = (
        TryInOutcome.APPROVED,
        TryInOutcome.APPROVED_WITH_CHANGES,
        TryInOutcome.WAIVED,
    )
    if last is None or last.outcome not in answered:
        yield Missing(
            "The try-in is not approved. The dentist may waive it with a reason.",
            "try_in",
            "outcome",
            DENTIST,
        )
    elif undoing.reaches_the_try_in(
        case.prescriptions.get(revision=last.revision), case.prescription
    ):
        yield Missing(
            f"The try-in was approved for revision {last.revision}; revision "
            f"{case.prescription.revision} is in force.",
            "try_in",
            "outcome",
            DENTIST,
        )


def wax_approved(case: Case) -> Iterator[Missing]:
    row = getattr(case, "final_wax", None)
    if row is None:
        yield Missing("Enter the final wax.", "final_wax")
        return
    if row.approved_at is None:
        yield Missing("The dentist has not approved the final wax.", "final_wax", "approve")
    elif row.approved_digest != case.prescription.digest:
        yield Missing(
            "The final wax was approved for an earlier prescription. Ask the dentist again.",
            "final_wax",
            "approve",
        )
    if not row.photographs_sent:
        yield Missing(
            "Send the dentist photographs of the wax and tick it.", "final_wax", "photographs_sent"
        )
    for field in ("overjet_mm", "overbite_mm", "incisal_display_mm", "midline_offset_mm"):
        if getattr(row, field) is None and getattr(case.prescription, field) is not None:
            name = history.label(row, field).removesuffix(" mm")
            yield Missing(
                f"Measure the {name} in the wax; it was measured before extraction.",
                "final_wax",
                field,
            )
    if row.bone_change_planned is None:
        yield Missing(
            "Say whether a change of bone is planned.", "final_wax", "bone_change_planned"
        )
    if not row.trimming_approved:
        yield Missing(
            "The dentist has not approved the trimming of the cast and any change of bone.",
            "final_wax",
            "trimming_approved",
        )
    if not row.duplicate_made:
        yield Missing(
            "Make a duplicate of the trimmed cast and tick it.", "final_wax", "duplicate_made"
        )
    if not row.flange_decision:
        yield Missing("Say how the flange is made.", "final_wax", "flange_decision")
    if not row.undercut_decision:
        yield Missing("Say what is done about undercuts.", "final_wax", "undercut_decision")
    if row.template_wanted is None:
        yield Missing("Decide whether a template is made.", "final_wax", "template_wanted")


def clearance_current(case: Case) -> Iterator[Missing]:
    shown = checks.latest(case, CheckKind.CLEARANCE)
    if shown is None:
        yield Missing("The clearance check has not been computed.", "check", "compute")
    elif shown.stale:
        yield Missing(
            "The clearance check is stale: an input changed. Compute it again.", "check", "compute"
        )


def handoff_written(case: Case) -> Iterator[Missing]:
    wax = getattr(case, "final_wax", None)
    last = case.handoffs.last()
    if last is None or (wax and wax.approved_at and last.at < wax.approved_at):
        yield Missing("Fill in the processing handoff.", "handoff", "base_product")


def remount_read(case: Case) -> Iterator[Missing]:
    row = getattr(case, "release", None)
    if row is None or row.pin_rise_mm is None:
        yield Missing("Enter the pin rise found at the remount.", "release", "pin_rise_mm")


def release_ready(case: Case) -> Iterator[Missing]:
    yield from remount_read(case)
    row = getattr(case, "release", None)
    if row is None:
        return
    agreed = ledger.agreed_mm(case)
    if row.pin_after_mm is None or abs(row.pin_after_mm - agreed) > row.rise_limit_mm:
        yield Missing(
            "The pin is not back within what is accepted. Correct the occlusion of the denture "
            "teeth, read the pin and enter it.",
            "release",
            "pin_after_mm",
            MANAGER,
        )
    if not row.lots:
        yield Missing("Enter the lots of resin and teeth.", "release", "lots", MANAGER)
    if not (row.agent and row.label_minutes and row.actual_minutes):
        yield Missing("Enter how the denture was disinfected.", "release", "agent")
    elif row.actual_minutes < row.label_minutes:
        yield Missing(
            f"The denture was disinfected for {row.actual_minutes} of {row.label_minutes} "
            "minutes. Repeat it and enter the new time.",
            "release",
            "actual_minutes",
        )
    if row.second_look_at is None:
        yield Missing("A second person has not looked at the denture.", "release", "", MANAGER)


def denture_packed(case: Case) -> Iterator[Missing]:
    """A box with the denture is packed, and whatever leaves with it may leave."""
    boxes = list(case.boxes.filter(direction=BoxDirection.TO_OFFICE, sent_at__isnull=True))
    if not any(box.items.filter(content=BoxContent.DENTURE).exists() for box in boxes):
        yield Missing("Pack a box with the denture.", "box_new")
    for box in boxes:
        yield from box_may_leave(box)


def denture_arrived(case: Case) -> Iterator[Missing]:
    arrived = case.boxes.filter(
        direction=BoxDirection.TO_OFFICE,
        received_at__isnull=False,
        items__content=BoxContent.DENTURE,
    ).exists()
    if not arrived:
        yield Missing("Take in the box with the denture and count it.", "boxes")


def delivery_reported(case: Case) -> Iterator[Missing]:
    row = getattr(case, "delivery", None)
    if row is None or not row.checked_on_arrival:
        yield Missing(
            "Check the denture as it arrived and tick it.", "delivery", "checked_on_arrival"
        )
    if row is None or row.delivered_on is None:
        yield Missing("Enter the day of delivery.", "delivery", "delivered_on")
    elif row.delivered_on > timezone.localdate():
        yield Missing("The day of delivery lies ahead. Correct it.", "delivery", "delivered_on")
    if row is not None and row.seats_without_force is None:
        yield Missing(
            "Say whether the denture seats without force.", "delivery", "seats_without_force"
        )


GATES: dict[Stage, tuple[Check, ...]] = {
    Stage.SENT: (signed, surgery_known, box_ready),
    Stage.ACCEPTED: (counted_in,),
    Stage.MOUNTING: (jaw_record_here,),
    Stage.SETTINGS: (mounted,),
    Stage.SET_UP: (settings_valid, teeth_in_hand, height_known),
    Stage.TRY_IN: (posterior_done, passes_as_wanted, pin_as_agreed),
    Stage.FINAL_WAX: (both_parts_done,),
    Stage.PROCESSING: (
        try_in_answered,
        wax_approved,
        ledger_balanced,
        clearance_current,
        handoff_written,
    ),
    Stage.FINISHING: (remount_read,),
    Stage.RELEASED: (release_ready,),
    Stage.DISPATCHED: (denture_packed,),
    Stage.RECEIVED: (denture_arrived,),
    Stage.DELIVERED: (delivery_reported,),
}

# Going back has its own conditions, by the stage that is left and the one that is entered.
WAYS_BACK: dict[tuple[Stage, Stage], tuple[Check, ...]] = {
    (Stage.TRY_IN, Stage.SET_UP): (try_in_decided,),
    (Stage.TRY_IN, Stage.FINAL_WAX): (try_in_decided, both_parts_done),
    (Stage.TRY_IN, Stage.JAW_RECORDS): (try_in_wants_new_record,),
    (Stage.MOUNTING, Stage.JAW_RECORDS): (),
    (Stage.SETTINGS, Stage.MOUNTING): (),
    (Stage.SET_UP, Stage.SETTINGS): (),
    (Stage.FINAL_WAX, Stage.SET_UP): (),
}
