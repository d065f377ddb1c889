"""Stories of finished dentures: at the remount, at the office, in the mouth, and made again."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django.utils import timezone

from labcases.domain import delivery, remaking
from labcases.domain.calendars import calendar_of
from labcases.domain.open_days import open_until
from labcases.enums import AppointmentKind, Movement, Stage
from labcases.enums.delivery import Liner
from labcases.enums.remount import RemountAct
from labcases.enums.reviews import Decision
from labcases.management import clock, walk_delivery, walk_remount, walk_review
from labcases.management.demo_complaints import complained_of
from labcases.management.demo_dates import book, confirm
from labcases.management.sample_casts import cast_and_rim, jaw_record
from labcases.management.walk import Walk
from labcases.models import Delivery, Organisation
from labcases.reference.reviews import liners

if TYPE_CHECKING:
    from labcases.management.demo_stories import Stories

D = Decimal
CAST_AND_RECORD = {Stage.MASTER_CAST: cast_and_rim, Stage.MOUNTING: jaw_record}
LINER = {"liner_kind": Liner.SOFT, "liner_product": "soft liner, chairside", "liner_lot": "SL-118"}


#: Days before surgery on which a stage of a finished case is told (common practice, no source).
DAYS_BEFORE = {
    Stage.DRAFT: 37,
    Stage.SENT: 36,
    Stage.ACCEPTED: 35,
    Stage.MASTER_CAST: 32,
    Stage.JAW_RECORDS: 30,
    Stage.MOUNTING: 28,
    Stage.SETTINGS: 27,
    Stage.SET_UP: 26,
    Stage.TRY_IN: 21,
    Stage.FINAL_WAX: 16,
    Stage.PROCESSING: 13,
    Stage.REMOUNT: 11,
    Stage.FINISHING: 9,
    Stage.RELEASED: 7,
    Stage.DISPATCHED: 6,
    Stage.RECEIVED: 2,
}


def before_today(days: int, office: Organisation) -> date:
    """The last day that lies at least so many days back and on which an office was open."""
    return open_until(timezone.localdate() - timedelta(days=days), calendar_of(office))


def at_remount(stories: Stories) -> None:
    """The pin rose by 0.4 mm, the marks are in, and one denture tooth is corrected so far."""
    walk = stories.walk_to_surgery(0, "FL-1034", 5, "Dagny Rusk")
    walk.to(Stage.REMOUNT)
    case, tomas = walk.reload(), walk.hands.technician
    walk_remount.log(case, tomas, RemountAct.PIN_READ, rise_mm=D("0.4"))
    walk_remount.log(
        case, tomas, RemountAct.PASS, movement=Movement.CENTRIC, teeth=["16", "26"], as_wanted=False
    )
    walk_remount.log(case, tomas, RemountAct.REDUCTION, teeth=["16"], depth_mm=D("0.2"))
    walk_remount.log(case, tomas, RemountAct.PIN_READ, rise_mm=D("0.2"))
    confirm(walk)
    book(walk, AppointmentKind.DELIVERY, 0)


def at_the_office(stories: Stories) -> None:
    """It came back, was counted and checked; surgery follows in a few days."""
    walk = stories.walk_to_surgery(1, "HB-0309", 2, "Ivar Pell")
    walk.also = CAST_AND_RECORD
    walk.to(Stage.RECEIVED)
    walk_delivery.check_arrival(walk.reload(), walk.hands.office_desk)
    confirm(walk)
    book(walk, AppointmentKind.DELIVERY, 0)


def delivered(stories: Stories) -> None:
    """In the mouth with a soft liner; the check on the day after is done."""
    day = before_today(2, stories.offices[0])
    walk = _in_the_mouth(stories, "FL-1031", "Agnes Dunmore", day, **LINER)
    with clock.on(day + timedelta(days=1)):
        walk_review.seen(
            walk.reload(),
            walk.hands.dentist,
            "first",
            note="A spot at the left tuberosity was relieved.",
        )
        book(walk, AppointmentKind.REVIEW, -7)
    complained_of(walk)


def made_again(stories: Stories) -> None:
    """Worn for some months; the vertical is off, and the dentist has it made again."""
    day = before_today(110, stories.offices[0])
    walk = _in_the_mouth(stories, "FL-1012", "Sunniva Krag", day)
    dentist = walk.hands.dentist
    for key, after in (("first", 1), ("second", 3), ("week", 7), ("fortnight", 14), ("month", 30)):
        with clock.on(day + timedelta(days=after)):
            walk_review.seen(walk.reload(), dentist, key)
    with clock.on(day + timedelta(days=95)):
        walk.move(Stage.IN_REVIEW, dentist)
        walk_review.decide(
            walk.reload(),
            dentist,
            Decision.REMAKE,
            signs=["vertical_off"],
            note="Rest less closed is 6 mm; the front teeth show too little.",
        )
        remaking.open_remake(
            case=walk.reload(),
            reason="record",
            words="The vertical was recorded too low while the teeth still stood.",
            by=dentist,
        )


def _in_the_mouth(stories: Stories, patient_code: str, name: str, day: date, **told: Any) -> Walk:
    """Everything up to the delivery, each stage on a day before it, which lies back itself."""
    calendar = calendar_of(stories.offices[0])
    days = {
        stage: open_until(day - timedelta(days=before), calendar)
        for stage, before in DAYS_BEFORE.items()
    }
    with clock.on(days[Stage.DRAFT]):
        walk = stories.walk_on(0, patient_code, day, name)
    walk.days = days
    walk.also = CAST_AND_RECORD
    walk.to(Stage.RECEIVED)
    hands = walk.hands
    with clock.on(days[Stage.RECEIVED]):
        confirm(walk)
        walk_delivery.check_arrival(walk.reload(), hands.office_desk)
    with clock.on(day):
        walk_delivery.operate(walk.reload(), hands.dentist)
        walk_delivery.deliver(walk.reload(), hands.dentist)
        row = Delivery.objects.get(case=walk.case)
        if told:
            told |= {"liner_placed_on": day, "liner_until": day + _longest(told["liner_kind"])}
        delivery.save(
            case=walk.reload(),
            version=row.version,
            by=hands.dentist,
            values={
                "vertical_rest_mm": D("67"),
                "vertical_mm": D("64"),
                "first_check_on": day + timedelta(days=1),
                **told,
            },
        )
        walk.move(Stage.DELIVERED, hands.dentist)
    return walk


def _longest(kind: str) -> timedelta:
    return timedelta(days=liners()[kind].last)
