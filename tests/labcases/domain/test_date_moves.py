"""Dates that one house moved are told to the other one until somebody there has seen them."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from labcases.domain import case as cases
from labcases.domain import date_moves, undo
from labcases.enums import AppointmentKind, AppointmentStatus, Stage
from labcases.models import Case
from tests.factories import world

pytestmark = pytest.mark.django_db


def words(user, case: Case) -> list[str]:
    return [date_moves.words(row).replace("\xa0", " ") for row in date_moves.unseen(user, [case])]


@pytest.fixture
def here():
    return world()


def move(here, days: int = 7) -> Case:
    case = here.case_at(Stage.SENT)
    on = case.surgery_on + timedelta(days=days)
    return cases.set_surgery(case=case, version=case.version, on=on, by=here.farah)


def test_a_moved_surgery_is_told_to_the_laboratory_until_it_is_seen(here):
    case = move(here)
    before = case.surgery_on - timedelta(days=7)

    assert words(here.lena, case) == [
        f"Surgery moved from {before:%a %d-%b-%Y} to {case.surgery_on:%a %d-%b-%Y}"
    ]
    assert words(here.dora, case) == []
    assert date_moves.see(case=case, user=here.tomas) == 1
    assert words(here.lena, case) == []
    assert date_moves.see(case=case, user=here.lena) == 0
    row = case.date_moves.get()
    assert row.seen_by == here.tomas
    assert case.history.order_by("id").last().act == "seen"


def test_the_office_does_not_see_it_for_the_laboratory(here):
    case = move(here)
    assert date_moves.see(case=case, user=here.dora) == 0
    assert words(here.mona, case) != []


def test_the_first_surgery_day_is_no_move(here):
    walk = here.walk()
    Case.objects.filter(pk=walk.case.pk).update(surgery_on=None)
    case = Case.objects.get(pk=walk.case.pk)
    cases.set_surgery(case=case, version=case.version, on=date(2027, 3, 25), by=here.farah)
    assert not case.date_moves.exists()


def test_bookings_moves_and_drops_are_told_and_a_kept_date_is_not(here):
    case = here.case_at(Stage.SET_UP)
    values = {"kind": AppointmentKind.TRY_IN, "note": "", "status": AppointmentStatus.BOOKED}

    def save(row, **more):
        return cases.save_appointment(
            case=case,
            appointment=row,
            version=row.version if row else 0,
            by=here.farah,
            values={**values, **more},
        )

    row = save(None, on=date(2027, 3, 12))
    assert words(here.lena, case) == ["Try-in set for Fri 12-Mar-2027"]
    date_moves.see(case=case, user=here.lena)
    row = save(row, on=date(2027, 3, 15))
    row = save(row, on=date(2027, 3, 15), note="at nine")
    assert words(here.lena, case) == ["Try-in moved from Fri 12-Mar-2027 to Mon 15-Mar-2027"]
    date_moves.see(case=case, user=here.lena)
    row = save(row, on=date(2027, 3, 15), status=AppointmentStatus.DROPPED)
    assert words(here.lena, case) == ["Try-in of Mon 15-Mar-2027 dropped"]
    row = save(None, on=date(2027, 3, 16))
    date_moves.see(case=case, user=here.lena)
    save(row, on=date(2027, 3, 16), status=AppointmentStatus.DONE)
    assert words(here.lena, case) == []


def test_what_the_laboratory_proposes_is_told_to_the_office(here):
    case = here.case_at(Stage.SET_UP)
    cases.propose_appointment(
        case=case,
        by=here.lena,
        values={"kind": AppointmentKind.TRY_IN, "on": date(2027, 3, 12), "note": ""},
    )
    assert words(here.farah, case) == ["Try-in set for Fri 12-Mar-2027"]
    assert words(here.lena, case) == []


def test_a_date_that_moves_again_unseen_is_told_once_and_one_that_comes_back_not_at_all(here):
    case = move(here, 7)
    first = case.surgery_on - timedelta(days=7)
    case = cases.set_surgery(
        case=case, version=case.version, on=first + timedelta(days=14), by=here.dora
    )
    assert words(here.lena, case) == [
        f"Surgery moved from {first:%a %d-%b-%Y} to {first + timedelta(days=14):%a %d-%b-%Y}"
    ]
    cases.set_surgery(case=case, version=case.version, on=first, by=here.dora)
    assert words(here.lena, case) == []


def test_a_move_that_is_undone_after_it_was_seen_is_told_back(here):
    case = move(here, 7)
    on = case.surgery_on
    number = case.history.order_by("id").last().sequence
    date_moves.see(case=case, user=here.lena)
    undo.undo(case=Case.objects.get(pk=case.pk), numbers=[number], by=here.farah)
    assert words(here.lena, case) == [
        f"Surgery moved from {on:%a %d-%b-%Y} to {on - timedelta(days=7):%a %d-%b-%Y}"
    ]
