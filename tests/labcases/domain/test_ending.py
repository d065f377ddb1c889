"""When a case rests or ends its dates are dropped at once, and what comes back is listed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import box, ending, stages
from labcases.domain import case as cases
from labcases.enums import AppointmentStatus, BoxContent, BoxDirection, Stage
from labcases.views._sentences import sentence
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.ACCEPTED)
    for status in (AppointmentStatus.BOOKED, AppointmentStatus.PROPOSED, AppointmentStatus.DONE):
        cases.save_appointment(
            case=walk.reload(),
            appointment=None,
            version=0,
            by=walk.hands.office_desk,
            values={"kind": "try-in", "on": timezone.localdate(), "status": status},
        )
    return walk


def states(walk):
    return [row.status for row in walk.case.appointments.order_by("id")]


GONE = ["dropped", "dropped", "done"]


def test_a_case_that_is_cancelled_drops_every_date_ahead(walk):
    stages.move(case=walk.reload(), to=Stage.CANCELLED, by=walk.hands.dentist, reason="Moved away.")

    assert states(walk) == GONE
    said = [sentence(entry) for entry in walk.case.history.order_by("id")]
    assert said[-1].endswith("Reason: the case is cancelled.")


def test_a_case_that_is_declined_drops_them_too():
    walk = world().walk()
    walk.to(Stage.SENT)
    cases.save_appointment(
        case=walk.reload(),
        appointment=None,
        version=0,
        by=walk.hands.office_desk,
        values={"kind": "try-in", "on": timezone.localdate(), "status": "booked"},
    )

    stages.move(case=walk.reload(), to=Stage.DECLINED, by=walk.hands.manager, reason="No room.")

    assert states(walk) == ["dropped"]


def test_a_hold_drops_them_unless_the_case_only_stands_still_for_a_look(walk):
    cases.hold(case=walk.reload(), reason="a look", by=walk.hands.dentist, drop_dates=False)
    assert states(walk) == ["booked", "proposed", "done"]
    cases.resume(case=walk.reload(), by=walk.hands.dentist)

    cases.hold(case=walk.reload(), reason="ill", by=walk.hands.dentist)

    assert states(walk) == GONE


def listed(walk):
    return {
        held.content.value: (held.laboratory, held.under_way)
        for held in ending.to_be_returned(walk.reload())
    }


def test_what_lies_at_the_laboratory_is_to_be_returned_and_a_box_takes_it_off(walk):
    assert listed(walk) == {}
    stages.move(case=walk.reload(), to=Stage.CANCELLED, by=walk.hands.dentist, reason="Moved away.")
    assert listed(walk) == {"impression": (1, 0), "photographs": (1, 0)}

    back = walk.pack(BoxDirection.TO_OFFICE, BoxContent.IMPRESSION, by=walk.hands.lab_desk)
    box.send(box=back, by=walk.hands.lab_desk)
    assert listed(walk) == {"impression": (0, 1), "photographs": (1, 0)}

    walk.take_in(BoxDirection.TO_OFFICE, by=walk.hands.office_desk)
    assert listed(walk) == {"photographs": (1, 0)}


def test_the_age_of_a_cast_counts_from_the_last_impression_of_its_arch(walk):
    day = timezone.localdate()
    taken = {"material": "alginate", "by": walk.hands.technician}
    for arch, days in (("upper", 70), ("upper", 60), ("lower", 5)):
        walk.case.impressions.create(
            arch=arch, taken_at=timezone.now() - timedelta(days=days), **taken
        )

    assert ending.cast_age_days(walk.case, day) == 60
    assert ending.cast_age_days(walk.case, None) is None
    assert ending.CAST_AGE_DAYS == 8 * 7
