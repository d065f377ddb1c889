"""Every gap at the set-up: settings, teeth, height, passes, parts and the try-in."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from django.utils import timezone

from labcases.domain import bench
from labcases.enums import (
    BoxContent,
    ReferencePlane,
    SetUpAct,
    SetUpOrder,
    SetUpPart,
    Stage,
    TryInOutcome,
)
from labcases.management.walk import Walk
from labcases.templatetags.units import long_date
from tests.labcases.domain.gaps import (
    LAB,
    OFFICE,
    Gap,
    bench_says,
    both,
    checked,
    discard_teeth,
    done,
    enter,
    erase,
    foil,
    here_teeth,
    judge,
    judged_before,
    log,
    order_arrives,
    order_teeth,
    settings,
    site,
    strike,
    teeth_here,
)
from tests.labcases.domain.gaps_of_boxes import (
    pack_and_send,
    take_in,
)

D = Decimal
MANAGER = "manager"


def acknowledge(walk: Walk) -> None:
    bench.acknowledge_settings(
        case=walk.reload(), version=walk.case.articulator.version, by=walk.hands.technician
    )


def anterior_first(walk: Walk) -> None:
    walk.case.prescriptions.update(set_up_order=SetUpOrder.ANTERIOR_FIRST)


SET_UP = (
    Gap(
        *("no articulator record", Stage.SET_UP, "Enter the articulator record.", "settings", ""),
        lose=erase("articulator"),
        mend=lambda walk: walk.enter_settings(),
        passes=MANAGER,
    ),
    Gap(
        *("record refused", Stage.SET_UP),
        "The reference plane has no name. Name the plane that the angles are read against.",
        *("settings", "reference_plane"),
        lose=settings(reference_plane=""),
        mend=settings(reference_plane=ReferencePlane.CAMPER),
    ),
    Gap(
        *("one unusual setting", Stage.SET_UP),
        *("Read and acknowledge the unusual setting.", "settings", "acknowledge"),
        lose=settings(plane_tilt_deg=D("25")),
        mend=acknowledge,
        passes=MANAGER,
    ),
    Gap(
        *("acknowledged, then changed", Stage.SET_UP),
        *("Read and acknowledge the 2 unusual settings.", "settings", "acknowledge"),
        lose=both(
            settings(condylar_right_deg=D("5")), acknowledge, settings(condylar_right_deg=D("6"))
        ),
        mend=acknowledge,
        passes=MANAGER,
    ),
    Gap(
        *("no tooth selection", Stage.SET_UP, "Enter the tooth selection.", "teeth", ""),
        lose=erase("selection"),
        mend=lambda walk: walk.choose_teeth(),
        passes=MANAGER,
    ),
    Gap(
        *("teeth not in hand", Stage.SET_UP),
        "The upper anterior teeth (6) are not in hand. Take them from stock, order them, or say "
        "that they are here.",
        *("teeth", "upper-anterior"),
        lose=discard_teeth("upper-anterior"),
        mend=teeth_here,
        passes=MANAGER,
    ),
    Gap(
        *("teeth ordered", Stage.SET_UP),
        "The upper posterior teeth (8) are ordered and not here, expected 15-Mar-2027.",
        *("teeth", "upper-posterior"),
        lose=both(
            discard_teeth("upper-posterior"),
            order_teeth("upper-posterior", ordered_on=date(2027, 3, 12), lead_days=1),
        ),
        mend=order_arrives,
        passes=MANAGER,
    ),
    Gap(
        *("a set of which teeth are missing", Stage.SET_UP),
        "Of the upper posterior teeth 6 of 8 are here.",
        *("teeth", "upper-posterior"),
        lose=both(discard_teeth("upper-posterior"), here_teeth("upper-posterior", counted=6)),
        mend=both(discard_teeth("upper-posterior"), teeth_here),
        passes=MANAGER,
    ),
    *(
        Gap(
            *(f"space not measured at {tooth}", Stage.SET_UP),
            *(f"Measure the space at {tooth}, or tick it as ample.", "sites", f"{tooth}-space_mm"),
            lose=site(tooth, space_mm=None),
            mend=mend,
            passes=MANAGER,
        )
        for tooth, mend in (
            ("17", site("17", ample=True)),
            ("24", site("24", space_mm=D("9.5"))),
        )
    ),
    Gap(
        *("too little height", Stage.SET_UP),
        "At 26 the height is short by 2.70 mm. Choose a way out and measure again.",
        *("sites", "26-space_mm"),
        lose=site("26", space_mm=D("6")),
        mend=site("26", space_mm=D("9")),
        passes=MANAGER,
    ),
)

_BEFORE_THE_BENCH_CHECK = (
    Gap(
        *("posterior part open", Stage.TRY_IN),
        *("The posterior teeth are not logged as done.", "setup", "part"),
        lose=strike(SetUpAct.PART_DONE),
        mend=done(SetUpPart.POSTERIOR, separable_base=True),
        passes=MANAGER,
    ),
    Gap(
        *("base does not come off", Stage.TRY_IN),
        "The posterior teeth must stand on a base that comes off the cast, so that they can be "
        "tried in alone.",
        *("setup", "separable_base"),
        lose=done(SetUpPart.POSTERIOR, separable_base=False),
        mend=done(SetUpPart.POSTERIOR, separable_base=True),
        passes=MANAGER,
    ),
    *(
        Gap(
            *(f"no pass in {movement}", Stage.TRY_IN),
            *(f"No pass is logged for {movement}.", "passes", "movement"),
            lose=strike(SetUpAct.PASS, movement=movement),
            mend=foil(movement, as_wanted=True),
            passes=MANAGER,
        )
        for movement in ("centric", "right lateral", "left lateral", "protrusive")
    ),
    *(
        Gap(
            *(f"{movement} not as wanted", Stage.TRY_IN),
            f"The last pass in {movement} was not as the scheme wants.",
            *("passes", "movement"),
            lose=foil(movement, as_wanted=False),
            mend=foil(movement, as_wanted=True),
            passes=MANAGER,
        )
        for movement in ("centric", "right lateral", "left lateral", "protrusive")
    ),
    Gap(
        *("centric not judged", Stage.TRY_IN),
        "Say whether the last pass in centric was as the scheme wants.",
        *("passes", "movement"),
        lose=foil("centric", as_wanted=None),
        mend=foil("centric", as_wanted=True),
        passes=MANAGER,
    ),
    Gap(
        *("pin not read", Stage.TRY_IN, "Read the pin and log it.", "setup", "after_mm"),
        lose=strike(SetUpAct.PIN_OPENED, SetUpAct.PIN_READING),
        mend=log(SetUpAct.PIN_READING, after_mm=D("0.05")),
        passes=MANAGER,
    ),
    Gap(
        *("pin still open", Stage.TRY_IN),
        "The pin stands 0.50 mm from pin zero and 0.00 mm is agreed. Bring it back and log the "
        "reading.",
        *("setup", "after_mm"),
        lose=log(SetUpAct.PIN_READING, after_mm=D("0.5")),
        mend=log(SetUpAct.PIN_READING, after_mm=D("0")),
        passes=MANAGER,
    ),
)

NOT_CHECKED = "Check the base on the bench before it leaves for the try-in."
CHECKED_BEFORE = (
    "The set-up log has changed since the bench check. Check the base again and save it."
)

TRY_IN = (
    # What is logged or struck out makes the bench check old, so that it is made again.
    *(
        replace(gap, lose=both(gap.lose, checked), mend=both(gap.mend, checked))
        for gap in _BEFORE_THE_BENCH_CHECK
    ),
    Gap(
        *("no bench check", Stage.TRY_IN, NOT_CHECKED, "bench_check", ""),
        lose=lambda walk: walk.case.bench_checks.all().delete(),
        mend=checked,
        passes=MANAGER,
    ),
    Gap(
        *("bench check half answered", Stage.TRY_IN),
        "Answer every line of the bench check; 2 of 7 are open.",
        *("bench_check", "answer_rings"),
        lose=bench_says(rings="", seat=""),
        mend=checked,
        passes=MANAGER,
    ),
    Gap(
        *("bench check says no", Stage.TRY_IN),
        "The bench check says no: The bases seat fully on the casts. Mend it and check again.",
        *("bench_check", "answer_seat"),
        lose=bench_says(seat="no"),
        mend=checked,
        passes=MANAGER,
    ),
    Gap(
        *("logged since the bench check", Stage.TRY_IN, CHECKED_BEFORE, "bench_check", ""),
        lose=log(SetUpAct.PIN_READING, after_mm=D("0")),
        mend=checked,
        passes=MANAGER,
    ),
)

AWAY = (
    "The posterior base is on its way to the office since {}. Take in the box that brings it back."
)
BASE_AWAY = Gap(
    *("base at the office", Stage.FINAL_WAX),
    AWAY.format(long_date(timezone.now())),
    *("boxes", ""),
    lose=pack_and_send(OFFICE, BoxContent.WAX_SET_UP),
    mend=both(take_in(OFFICE), pack_and_send(LAB, BoxContent.WAX_SET_UP), take_in(LAB)),
    passes=MANAGER,
)

BOTH_PARTS = (
    BASE_AWAY,
    *(
        Gap(
            *(f"{part} part open", Stage.FINAL_WAX),
            *(f"The {part} teeth are not logged as done.", "setup", "part"),
            lose=strike(SetUpAct.PART_DONE, part=part),
            mend=done(SetUpPart(part)),
        )
        for part in ("posterior", "anterior")
    ),
    *(
        Gap(
            *(f"{part} part open after the try-in", Stage.FINAL_WAX),
            *(f"The {part} teeth are not logged as done.", "setup", "part"),
            lose=both(
                anterior_first,
                done(SetUpPart.ANTERIOR),
                checked,
                enter(Stage.TRY_IN),
                judge(TryInOutcome.APPROVED),
                strike(SetUpAct.PART_DONE, part=part),
            ),
            mend=done(SetUpPart(part)),
            begin=Stage.TRY_IN,
        )
        for part in ("posterior", "anterior")
    ),
)

NOT_RECORDED = ("The dentist has not recorded the try-in.", "try_in", "outcome")

AFTER_TRY_IN = (
    Gap(
        *("try-in not judged, back to set-up", Stage.SET_UP, *NOT_RECORDED),
        lose=enter(Stage.TRY_IN),
        mend=judge(TryInOutcome.APPROVED_WITH_CHANGES),
        begin=Stage.TRY_IN,
    ),
    Gap(
        *("try-in not judged, on to wax", Stage.FINAL_WAX, *NOT_RECORDED),
        lose=both(anterior_first, done(SetUpPart.ANTERIOR), checked, enter(Stage.TRY_IN)),
        mend=judge(TryInOutcome.APPROVED),
        begin=Stage.TRY_IN,
    ),
    *(
        Gap(
            *(f"no new record wanted: {name}", Stage.JAW_RECORDS),
            "A new jaw record is made when the try-in asks for one. The last try-in does not.",
            *("try_in", "outcome"),
            lose=lose,
            mend=judged_before(TryInOutcome.NEW_RECORD),
            begin=Stage.TRY_IN,
        )
        for name, lose in (
            ("not judged", enter(Stage.TRY_IN)),
            ("approved", both(enter(Stage.TRY_IN), judge(TryInOutcome.APPROVED))),
        )
    ),
)

GAPS = (*SET_UP, *TRY_IN, *BOTH_PARTS, *AFTER_TRY_IN)
