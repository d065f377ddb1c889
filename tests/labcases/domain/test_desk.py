"""What the desk is told: days, boxes, and who waits for whom."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from labcases.domain import bench, desk, queries, trimming
from labcases.domain import case as cases
from labcases.domain import question as asking
from labcases.enums import AppointmentKind, AppointmentStatus, BoxDirection, Side, Stage
from labcases.management import walk_wax
from labcases.models import FinalWax
from tests.factories import world

pytestmark = pytest.mark.django_db


def lines(here):
    return queries.open_lines(here.farah)


def of_kind(found, kind):
    return {
        entry.on: entry for entries in found.values() for entry in entries if entry.kind == kind
    }


def test_every_latest_day_ahead_stands_on_its_day():
    here = world()
    case = here.case_at(Stage.PROCESSING)
    found = desk.days_of(lines(here), case.surgery_on - timedelta(days=20), 21)
    latest = of_kind(found, "latest")
    assert [entry.what for entry in latest.values()] == [
        "Latest day: the denture leaves the laboratory",
        "Latest day: the denture is at the office",
    ]
    leaving, arriving = latest.values()
    assert (leaving.leaves, leaving.arrives) == (Side.LABORATORY, None)
    assert (arriving.leaves, arriving.arrives) == (None, Side.OFFICE)


def test_surgery_and_booked_days_stand_on_theirs_and_dropped_ones_do_not():
    here = world()
    case = here.walk().case
    for on, status in ((3, AppointmentStatus.BOOKED), (4, AppointmentStatus.DROPPED)):
        cases.save_appointment(
            case=case,
            appointment=None,
            version=0,
            by=here.farah,
            values={
                "kind": AppointmentKind.REVIEW,
                "on": case.surgery_on + timedelta(days=on),
                "status": status,
                "note": "",
            },
        )
    found = desk.days_of(lines(here), case.surgery_on, 7)
    said = [entry.what for entries in found.values() for entry in entries]
    assert said == ["Surgery and delivery", "Review (booked)"]


def test_a_span_holds_every_day_also_the_empty_ones():
    found = desk.days_of([], date(2026, 11, 23), 7)
    assert list(found) == [date(2026, 11, 23) + timedelta(days=n) for n in range(7)]
    assert not any(found.values())


@pytest.mark.parametrize(
    ("stage", "side", "why"),
    [
        (
            Stage.DRAFT,
            Side.OFFICE,
            "The prescription is a draft: fill it in, sign and send it.",
        ),
        (Stage.SENT, Side.LABORATORY, "The case is to be accepted."),
        (Stage.JAW_RECORDS, Side.OFFICE, "Jaw records are to be taken."),
        (Stage.TRY_IN, Side.OFFICE, "The try-in and its outcome."),
        (Stage.RELEASED, Side.LABORATORY, "The denture is to be dispatched."),
    ],
)
def test_a_stage_waits_for_the_house_that_has_something_to_do(stage, side, why):
    here = world()
    here.case_at(stage)
    assert [(wait.on, wait.why) for wait in desk.waits(lines(here))] == [(side, why)]


def test_nobody_waits_while_the_bench_works():
    here = world()
    here.case_at(Stage.MOUNTING)
    assert desk.waits(lines(here)) == []


def test_a_question_waits_for_whom_it_was_put_to():
    here = world()
    case = here.case_at(Stage.MOUNTING)
    asking.ask(case=case, about="shade", text="B1 or B2?", waits_for=Side.OFFICE, by=here.tomas)
    (wait,) = desk.waits(lines(here))
    assert (wait.on, wait.why, wait.page) == (
        Side.OFFICE,
        "A question about shade is open.",
        "questions",
    )


def test_a_delivery_is_waited_for_from_the_surgery_day_on():
    here = world()
    case = here.case_at(Stage.RECEIVED)
    before, on = case.surgery_on - timedelta(days=1), case.surgery_on
    assert desk.waits(lines(here), before) == []
    assert [wait.why for wait in desk.waits(lines(here), on)] == ["The delivery is to be reported."]


def test_a_final_wax_waits_for_the_dentist_once_it_is_photographed():
    here = world()
    case = here.case_at(Stage.FINAL_WAX)
    assert desk.waits(lines(here)) == []
    FinalWax.objects.get_or_create(case=case)
    assert desk.waits(lines(here)) == []
    walk_wax.photograph(case, here.tomas)
    assert [(wait.on, wait.why) for wait in desk.waits(lines(here))] == [
        (Side.OFFICE, "The final wax is to be approved by the dentist.")
    ]


def test_a_trimming_after_the_approval_waits_for_the_dentist_until_it_is_undone():
    here = world()
    walk = here.walk()
    walk.to(Stage.FINAL_WAX)
    walk.wax()
    walk.approve_wax()
    assert desk.waits(lines(here)) == []
    entry = trimming.log(
        case=walk.reload(),
        by=walk.hands.technician,
        method="alternate",
        trims=[{"tooth": "11", "labial_mm": "2.25"}],
    )
    assert [(wait.on, wait.why) for wait in desk.waits(lines(here))] == [
        (Side.OFFICE, "The trimming of the cast is to be approved again.")
    ]
    bench.strike(entry=entry, reason="another case", by=walk.hands.technician)
    assert desk.waits(lines(here)) == []


def test_a_box_is_under_way_from_sending_to_taking_in():
    here = world()
    case = here.case_at(Stage.SENT)
    (box,) = desk.boxes_under_way(lines(here), BoxDirection.TO_LABORATORY)
    assert box.case == case
    assert desk.boxes_under_way(lines(here), BoxDirection.TO_OFFICE) == []
    box.received_at = timezone.now()
    box.save()
    assert desk.boxes_under_way(lines(here), BoxDirection.TO_LABORATORY) == []
