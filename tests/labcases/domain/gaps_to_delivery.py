"""Every gap on the way from the remount to the mouth."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from labcases.domain import delivered, device_statement, incident, lots
from labcases.domain.foreseeing import Report
from labcases.enums import (
    BoxContent,
    Stage,
)
from labcases.management import walk_delivery
from labcases.management.walk import Walk
from labcases.models import BoxItem, FinalWax
from labcases.reference.checklists import lines_of
from labcases.reference.delivery import arrival_checklist, delivery_checklist
from labcases.reference.incidents import kinds
from tests.labcases.domain.gaps import (
    OFFICE,
    Gap,
    arrived,
    both,
    delivery,
    erase,
    finished,
    look,
    operated,
    released,
)
from tests.labcases.domain.gaps_of_boxes import (
    contents,
    item,
    no_box,
    not_taken_in,
    take_in,
)
from tests.labcases.domain.gaps_of_finishing import FINISHING
from tests.labcases.domain.gaps_of_remount import REMOUNT

MANAGER = "manager"


def pack_denture(walk: Walk) -> None:
    walk.pack(OFFICE, BoxContent.DENTURE, by=walk.hands.lab_desk)


def in_europe(walk: Walk) -> None:
    type(walk.case.office).objects.filter(pk=walk.case.office_id).update(profile="eu")


def draw_up(walk: Walk) -> None:
    device_statement.draw_up(case=walk.reload(), by=walk.hands.technician, values={})


def no_lots(walk: Walk) -> None:
    """The teeth are here without their lot, and what the base was made of is struck out."""
    walk.case.tooth_supplies.update(lot="")
    walk.case.handoffs.update(base_lot="")
    walk.case.used_materials.update(struck_at=timezone.now(), struck_by=walk.hands.technician)


def lots_added(walk: Walk) -> None:
    for lot_of, lot in (("base", "L-1"), ("teeth", "T-2")):
        lots.add(
            case=walk.case,
            by=walk.hands.technician,
            **{"lot_of": lot_of, "lot": lot, "product": "", "note": ""},
        )


NO_RELEASE = "Enter the disinfection of the finished denture."
NO_LOTS = "Enter the lot of the resin and the teeth."
NOT_DISINFECTED = "Enter how the denture was disinfected."

RELEASE = (
    Gap(
        *("nothing entered", Stage.RELEASED, NO_RELEASE, "release", "agent"),
        lose=erase("release"),
        mend=lambda walk: walk.finish(),
    ),
    Gap(
        *("no lots", Stage.RELEASED, NO_LOTS, "release", "lot"),
        lose=no_lots,
        mend=lots_added,
        passes=MANAGER,
    ),
    *(
        Gap(
            *(f"disinfection without {field}", Stage.RELEASED),
            *(NOT_DISINFECTED, "release", "agent"),
            lose=released(**{field: lost}),
            mend=released(**{field: mended}),
        )
        for field, lost, mended in (
            ("agent", "", "spray"),
            ("label_minutes", None, 10),
            ("actual_minutes", None, 10),
        )
    ),
    Gap(
        *("disinfected too short", Stage.RELEASED),
        "The denture was disinfected for 9 of 10 minutes. Repeat it and enter the new time.",
        *("release", "actual_minutes"),
        lose=released(actual_minutes=9),
        mend=released(actual_minutes=11),
    ),
    Gap(
        *("no second look", Stage.RELEASED),
        *("A second person has not looked at the denture.", "release", ""),
        lose=finished(agent="spray"),
        mend=look,
        passes=MANAGER,
    ),
)

ON_THE_WAY = (
    *(
        Gap(
            *(name, Stage.DISPATCHED, "Pack a box with the denture.", "box_new", ""),
            lose=lose,
            mend=pack_denture,
        )
        for name, lose in (
            ("no box", no_box(OFFICE)),
            ("no denture in the box", contents(OFFICE, item("template"))),
        )
    ),
    Gap(
        *("second box empty", Stage.DISPATCHED),
        *("The box is empty. Enter what is in it.", "box", ""),
        lose=both(pack_denture, contents(OFFICE)),
        mend=contents(OFFICE, item("cast")),
    ),
    Gap(
        *("template not disinfected", Stage.DISPATCHED),
        "Enter how the surgical template was disinfected: agent, minutes on the label, minutes "
        "given and by whom.",
        *("box", ""),
        lose=contents(OFFICE, item("denture"), item("template", agent="")),
        mend=contents(OFFICE, item("denture"), item("template")),
    ),
    Gap(
        *("denture disinfected too short", Stage.DISPATCHED),
        "The denture was disinfected for 5 of 10 minutes. Repeat it and enter the new time.",
        *("box", ""),
        lose=contents(OFFICE, item("denture", given=5)),
        mend=contents(OFFICE, item("denture")),
    ),
    Gap(
        *("casts not packed", Stage.DISPATCHED),
        *("The prescription asks for the casts back. Pack them with the denture.", "boxes", ""),
        lose=lambda walk: walk.case.prescriptions.update(return_casts=True),
        mend=contents(OFFICE, item("denture"), item("cast")),
        passes="manager",
    ),
    Gap(
        *("no statement", Stage.DISPATCHED),
        "European Union asks for a statement with the denture. Draw it up before it leaves.",
        *("statement", ""),
        lose=both(pack_denture, in_europe),
        mend=draw_up,
    ),
    Gap(
        *("statement of an earlier revision", Stage.DISPATCHED),
        "The device statement is outdated. It was drawn up for revision 7, and revision 1 is in "
        "force. Draw it up again.",
        *("statement", ""),
        lose=both(
            pack_denture,
            in_europe,
            draw_up,
            lambda walk: walk.case.statements.update(revision=7),
        ),
        mend=draw_up,
    ),
    Gap(
        *("not arrived", Stage.RECEIVED),
        *("Take in the box with the denture and count it.", "boxes", ""),
        lose=not_taken_in(OFFICE),
        mend=take_in(OFFICE),
    ),
)

TODAY = timezone.localdate()
ARRIVED = {line.key: "yes" for line in lines_of(arrival_checklist())}
SEATED = {line.key: "yes" for line in lines_of(delivery_checklist())}


def without(answers: dict[str, str], key: str) -> dict[str, str]:
    return {one: said for one, said in answers.items() if one != key}


def other_tooth(walk: Walk) -> None:
    kept = delivered.planned(walk.reload())[1:]
    operated(teeth_out=kept, why_otherwise="it held")(walk)


def say_otherwise(walk: Walk) -> None:
    case = walk.reload()
    incident.report(
        case=case,
        report=Report(
            kind=kinds()["surgeon-did-otherwise"],
            answer="kept",
            teeth=delivered.planned(case)[:1],
            text="It held, and stays for now.",
        ),
        seen=Stage(case.stage),
        seen_last=incident.last_of(case),
        by=walk.hands.dentist,
    )
    # The report asks a question, which is answered in its own thread.
    case.questions.update(blocking=False)


def came_undisinfected(walk: Walk) -> None:
    BoxItem.objects.filter(box__case=walk.case, content="denture").update(agent="")


def disinfect(walk: Walk) -> None:
    BoxItem.objects.filter(box__case=walk.case, content="denture").update(agent="spray")


DELIVERED = (
    Gap(
        *("one line of the arrival", Stage.DELIVERED),
        *("Check the denture as it arrived: 1 line is not answered.", "arrival", ""),
        lose=arrived(answers=without(ARRIVED, "ar_whole")),
        mend=arrived(answers=ARRIVED),
    ),
    Gap(
        *("nothing of the arrival", Stage.DELIVERED),
        *("Check the denture as it arrived: 7 lines are not answered.", "arrival", ""),
        lose=erase("arrival"),
        mend=lambda walk: walk_delivery.check_arrival(walk.reload(), walk.hands.office_desk),
    ),
    Gap(
        *("came again", Stage.DELIVERED),
        *("The denture came again since it was checked. Check it again.", "arrival", ""),
        lose=lambda walk: walk.case.boxes.filter(direction=OFFICE).update(
            received_at=timezone.now()
        ),
        mend=arrived(answers=ARRIVED),
    ),
    Gap(
        *("came without disinfection", Stage.DELIVERED),
        "The denture came with no disinfection or one that was too short. Disinfect it and log it "
        "before it goes into a mouth.",
        *("boxes", ""),
        lose=came_undisinfected,
        mend=disinfect,
    ),
    Gap(
        *("no surgery", Stage.DELIVERED),
        *("Enter the surgery as it was: its day, and the teeth.", "surgery", "held_on"),
        lose=erase("surgery"),
        mend=lambda walk: walk_delivery.operate(walk.reload(), walk.hands.dentist),
    ),
    Gap(
        *("template not said", Stage.DELIVERED),
        *("Say whether the surgical template was used.", "surgery", "template_use"),
        lose=both(
            lambda walk: FinalWax.objects.filter(case=walk.case).update(template_wanted=True),
            operated(template_use=""),
        ),
        mend=operated(template_use="used"),
    ),
    Gap(
        *("other teeth, not reported", Stage.DELIVERED),
        "The teeth that came out are not those of the plan. Report it, so that the laboratory "
        "knows.",
        *("incidents", ""),
        lose=other_tooth,
        mend=say_otherwise,
    ),
    Gap(
        *("no day", Stage.DELIVERED, "Enter the day of delivery.", "delivery", "delivered_on"),
        lose=delivery(delivered_on=None),
        mend=delivery(delivered_on=TODAY),
    ),
    Gap(
        *("day ahead", Stage.DELIVERED, "The day of delivery lies ahead. Correct it."),
        *("delivery", "delivered_on"),
        lose=delivery(delivered_on=TODAY + timedelta(days=2)),
        mend=delivery(delivered_on=TODAY),
    ),
    Gap(
        *("one line of the delivery", Stage.DELIVERED),
        *("Answer the checklist of the delivery: 1 line is not answered.", "delivery", ""),
        lose=delivery(answers=without(SEATED, "dl_seats")),
        mend=delivery(answers=SEATED),
    ),
)

GAPS = (*REMOUNT, *FINISHING, *RELEASE, *ON_THE_WAY, *DELIVERED)
