"""Every gap on the way from the remount to the mouth."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from labcases.domain import device_statement
from labcases.enums import (
    BoxContent,
    Stage,
)
from labcases.management.walk import Walk
from tests.labcases.domain.gaps import (
    OFFICE,
    Gap,
    both,
    delivery,
    erase,
    finished,
    look,
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


NO_RELEASE = "Enter lots and disinfection of the finished denture."
NOT_DISINFECTED = "Enter how the denture was disinfected."

RELEASE = (
    Gap(
        *("nothing entered", Stage.RELEASED, NO_RELEASE, "release", "lots"),
        lose=erase("release"),
        mend=lambda walk: walk.finish(),
    ),
    Gap(
        *("no lots", Stage.RELEASED, "Enter the lots of resin and teeth.", "release", "lots"),
        lose=released(lots=""),
        mend=released(lots="base L-1"),
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
        lose=finished(lots="base L-2"),
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

DELIVERED = tuple(
    Gap(
        *(name, Stage.DELIVERED, text, "delivery", field),
        lose=delivery(**{field: lost}),
        mend=delivery(**{field: mended}),
    )
    for name, text, field, lost, mended in (
        (
            "not checked on arrival",
            "Check the denture as it arrived and tick it.",
            *("checked_on_arrival", False, True),
        ),
        ("no day", "Enter the day of delivery.", "delivered_on", None, TODAY),
        (
            "day ahead",
            "The day of delivery lies ahead. Correct it.",
            *("delivered_on", TODAY + timedelta(days=2), TODAY - timedelta(days=1)),
        ),
        (
            "fit not said",
            "Say whether the denture seats without force.",
            *("seats_without_force", None, False),
        ),
    )
)

GAPS = (*REMOUNT, *FINISHING, *RELEASE, *ON_THE_WAY, *DELIVERED)
