"""Every gap on the way from the office to a verified mounting."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from labcases.domain import box, disinfecting, files
from labcases.domain import case as cases
from labcases.enums import (
    AttachmentKind,
    BoxContent,
    JawRecord,
    Stage,
    TransferMethod,
    TryInOutcome,
    Verification,
)
from labcases.management.walk import Walk
from labcases.models import BoxItem
from tests.labcases import sent_files
from tests.labcases.domain.gaps import (
    LAB,
    Gap,
    both,
    enter,
    erase,
    judge,
    mounting,
    revise,
)
from tests.labcases.domain.gaps_of_boxes import (
    contents,
    item,
    last_box,
    no_box,
    not_taken_in,
    pack_and_send,
    take_in,
)

D = Decimal
MANAGER = "manager"


def unsign(walk: Walk) -> None:
    walk.case.prescriptions.update(status="draft")


def surgery(in_days: int | None) -> object:
    on = None if in_days is None else timezone.localdate() + timedelta(days=in_days)
    return lambda walk: cases.set_surgery(
        case=walk.reload(), version=walk.case.version, on=on, by=walk.hands.office_desk
    )


def pack_impression(walk: Walk) -> None:
    walk.pack(LAB, BoxContent.IMPRESSION, BoxContent.PHOTOGRAPHS, by=walk.hands.office_desk)


def jaw_record_lost(walk: Walk) -> None:
    """The box came, and the record was not in it."""
    for one in walk.case.boxes.filter(direction=LAB):
        one.items.filter(content=BoxContent.JAW_RECORD).update(received_count=0)


def box_lost(walk: Walk) -> None:
    box.report_lost(box=last_box(walk, LAB), note="no trace", by=walk.hands.office_desk)


def box_turned_up(walk: Walk) -> None:
    box.turned_up(box=last_box(walk, LAB), by=walk.hands.office_desk)


def came_as(content: str, **declared: object) -> object:
    """What the box says of a thing that came in it."""

    def do(walk: Walk) -> None:
        BoxItem.objects.filter(box__case=walk.case, content=content).update(**declared)

    return do


def disinfect(content: str) -> object:
    def do(walk: Walk) -> None:
        disinfecting.log(
            item=BoxItem.objects.get(box__case=walk.case, content=content),
            by=walk.hands.technician,
            values={
                **{"agent": "iodophor", "label_minutes": 10, "actual_minutes": 10},
                **{"done_by": "Tomas Abelard", "done_at": timezone.now()},
            },
        )

    return do


def photograph(view: str, colour: tuple[int, int, int] = sent_files.RED) -> object:
    """A photograph of the patient, who agreed that the laboratory sees it."""
    return lambda walk: files.add(
        case=walk.reload(),
        kind=AttachmentKind.PHOTOGRAPH,
        view=view,
        upload=sent_files.sent(sent_files.jpeg(colour=colour)),
        by=walk.hands.office_desk,
        agreed=True,
    )


SENT = (
    Gap(
        *("not signed", Stage.SENT),
        *("The dentist has not signed the prescription.", "sign", ""),
        lose=unsign,
        mend=lambda walk: walk.sign(),
    ),
    Gap(
        *("no surgery date", Stage.SENT, "Enter the surgery date.", "dates", "surgery_on"),
        lose=surgery(None),
        mend=surgery(90),
    ),
    Gap(
        *("surgery before the first extraction", Stage.SENT),
        "The first extraction must lie before the surgery day. Correct one of the two dates.",
        *("dates", "surgery_on"),
        lose=surgery(20),
        mend=surgery(90),
    ),
    Gap(
        *("no box", Stage.SENT),
        *("Pack a box: say what goes to the laboratory, and how many.", "box_new", ""),
        lose=both(photograph("intraoral front"), no_box(LAB)),
        mend=pack_impression,
    ),
    Gap(
        *("empty box", Stage.SENT, "The box is empty. Enter what is in it.", "box", ""),
        lose=both(photograph("intraoral front"), contents(LAB)),
        mend=contents(LAB, item("impression")),
    ),
    *(
        Gap(
            *(f"disinfection not declared: {name}", Stage.SENT),
            "Enter how the impression was disinfected: agent, minutes on the label, minutes given "
            "and by whom.",
            *("box", ""),
            lose=contents(LAB, item("photographs", None, ""), undeclared),
            mend=contents(LAB, item("photographs", None, ""), item("impression")),
        )
        for name, undeclared in (
            ("no agent", item("impression", agent="")),
            ("no minutes", item("impression", given=None)),
        )
    ),
    Gap(
        *("nobody said who disinfected it", Stage.SENT),
        *("Enter who disinfected the impression.", "box", ""),
        lose=both(
            photograph("intraoral front"),
            contents(LAB, item("impression") | {"disinfected_by": ""}),
        ),
        mend=contents(LAB, item("impression")),
    ),
    Gap(
        *("disinfected too short", Stage.SENT),
        "The impression was disinfected for 9 of 10 minutes. Repeat it and enter the new time.",
        *("box", ""),
        lose=both(photograph("intraoral front"), contents(LAB, item("impression", given=9))),
        mend=contents(LAB, item("impression", given=10)),
    ),
    *(
        Gap(
            *(f"photographs missing: {name}", Stage.SENT),
            "Pre-extraction photographs are missing, or held back from the laboratory: smile, "
            "profile. Add them, or pack prints.",
            *("files", ""),
            lose=both(revise(photographs=["profile", "smile"]), contents(LAB, item("impression"))),
            mend=mend,
        )
        for name, mend in (
            ("prints packed", contents(LAB, item("photographs", None, ""), item("impression"))),
            ("added", both(photograph("smile"), photograph("profile", sent_files.BLUE))),
        )
    ),
)

BEFORE_MOUNTING = (
    Gap(
        *("box not counted", Stage.ACCEPTED),
        *("Take in the box and count what is in it.", "boxes", ""),
        lose=not_taken_in(LAB),
        mend=take_in(LAB),
    ),
    Gap(
        *("box lost", Stage.ACCEPTED),
        "The box with the impression and the photographs is reported as lost. Send it again, or "
        "say that it turned up.",
        *("boxes", ""),
        lose=both(not_taken_in(LAB), box_lost),
        mend=both(box_turned_up, take_in(LAB)),
        passes=MANAGER,
    ),
    *(
        Gap(
            *(f"{content} contaminated", into),
            f"The {content} came with no disinfection or one that was too short. Disinfect it and "
            "log it.",
            *("boxes", ""),
            lose=came_as(content, **declared),
            mend=disinfect(content),
            passes=MANAGER,
        )
        for into, content, declared in (
            (Stage.ACCEPTED, "impression", {"agent": ""}),
            (Stage.ACCEPTED, "impression", {"actual_minutes": 9}),
            (Stage.MOUNTING, "jaw record", {"label_minutes": None}),
            (Stage.MOUNTING, "face-bow record", {"actual_minutes": 1}),
        )
    ),
    *(
        Gap(
            *(f"no jaw record: {name}", Stage.MOUNTING),
            *("No jaw record has been counted in at the laboratory.", "boxes", ""),
            lose=lose,
            mend=mend,
        )
        for name, lose, mend in (
            ("not taken in", not_taken_in(LAB), take_in(LAB)),
            (
                "not in the box",
                jaw_record_lost,
                both(pack_and_send(LAB, BoxContent.JAW_RECORD), take_in(LAB)),
            ),
        )
    ),
    Gap(
        *("no new jaw record", Stage.MOUNTING),
        "No jaw record has been counted in since the try-in asked for a new one.",
        *("boxes", ""),
        lose=both(enter(Stage.TRY_IN), judge(TryInOutcome.NEW_RECORD)),
        mend=both(pack_and_send(LAB, BoxContent.JAW_RECORD), take_in(LAB)),
        begin=Stage.TRY_IN,
    ),
)

FOIL = (
    "In maximum intercuspation the mounting is verified when at least three spread points and "
    "the pairs you name hold foil. Enter both."
)
RECORD = (
    "In centric relation the mounting is verified when a second record agrees within 0.3 mm or "
    "the split cast closes. Enter which."
)
CENTRIC = {"jaw_record": JawRecord.CENTRIC_RELATION}
SECOND = {"verified_by_method": Verification.SECOND_RECORD}
SPLIT = {"verified_by_method": Verification.SPLIT_CAST}

SETTINGS = (
    Gap(
        *("no mounting", Stage.SETTINGS, "Enter the mounting.", "mounting", ""),
        lose=erase("mounting"),
        mend=lambda walk: walk.mount(),
        passes=MANAGER,
    ),
    *(
        Gap(
            *(name, Stage.SETTINGS, text, "mounting", field),
            lose=mounting(**lose),
            mend=mounting(**mend),
            passes=MANAGER,
        )
        for name, text, field, lose, mend in (
            (
                "casts not inspected",
                *("Inspect the casts and tick it.", "casts_inspected"),
                {"casts_inspected": False},
                {"casts_inspected": True},
            ),
            (
                "no transfer",
                *("Say how the upper cast was transferred.", "transfer"),
                {"transfer": ""},
                {"transfer": TransferMethod.AVERAGE},
            ),
            (
                "pin not read",
                *("Read the pin at mounting.", "pin_zero_mm"),
                {"pin_zero_mm": None},
                {"pin_zero_mm": D("0.5")},
            ),
            (
                "no jaw record named",
                *("Choose the jaw record of the mounting.", "jaw_record"),
                {"jaw_record": ""},
                {"jaw_record": JawRecord.MAXIMUM_INTERCUSPATION},
            ),
            ("two foil points", FOIL, "foil_points", {"foil_points": 2}, {"foil_points": 3}),
            ("no foil points", FOIL, "foil_points", {"foil_points": None}, {"foil_points": 4}),
            ("no foil pairs", FOIL, "foil_points", {"foil_pairs": ""}, {"foil_pairs": "16/46"}),
            (
                "not verified by foil",
                *(FOIL, "foil_points", SPLIT),
                {"verified_by_method": Verification.FOIL},
            ),
            (
                "centric, second record not measured",
                *(RECORD, "agreement_mm", CENTRIC | SECOND),
                {"agreement_mm": D("0")},
            ),
            (
                "centric, second record 0.31 mm off",
                *(RECORD, "agreement_mm", CENTRIC | SECOND | {"agreement_mm": D("0.31")}),
                {"agreement_mm": D("0.30")},
            ),
            (
                "centric, split cast open",
                *(RECORD, "agreement_mm", CENTRIC | SPLIT | {"agreement_mm": D("0")}),
                {"split_cast_closes": True},
            ),
            (
                "centric, by foil",
                RECORD,
                "agreement_mm",
                CENTRIC,
                SPLIT | {"split_cast_closes": True},
            ),
        )
    ),
)

GAPS = (*SENT, *BEFORE_MOUNTING, *SETTINGS)
