"""The surgery day and the dates beside it, as people meet them."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.domain import case as cases
from labcases.enums import AppointmentStatus, Stage
from labcases.models import Appointment, Case
from tests.factories import world

pytestmark = pytest.mark.django_db

NEXT_YEAR = date(timezone.localdate().year + 1, 3, 12)
TYPED = f"12-Mar-{NEXT_YEAR.year}"


def address(name, case, *more):
    return reverse(name, args=[case.code, *more])


def save_surgery(client, user, case, typed, **more):
    client.force_login(user)
    return client.post(
        address("dates", case), {"surgery_on": typed, "version": case.version, **more}
    )


class TestSurgeryDay:
    def test_the_office_desk_moves_it_and_one_entry_says_so(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        before = case.history.count()
        assert save_surgery(client, here.farah, case, TYPED).status_code == 302
        case.refresh_from_db()
        assert case.surgery_on == NEXT_YEAR
        assert case.history.count() == before + 1

    def test_a_moved_day_has_to_be_confirmed_again(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        cases.confirm_surgery(case=case, version=case.version, by=here.dora)
        case.refresh_from_db()
        save_surgery(client, here.farah, case, TYPED)
        case.refresh_from_db()
        assert case.surgery_confirmed_at is None

    def test_it_is_not_moved_before_the_first_extraction_that_was_signed(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        stored, first = case.surgery_on, case.prescription.first_extraction_on
        answer = save_surgery(client, here.farah, case, f"{first:%d-%b-%Y}")
        assert answer.status_code == 422
        assert (
            f"The signed prescription extracts the first teeth on {first:%d-%b-%Y}, and surgery "
            f"comes after that. Choose a later day than {first:%d-%b-%Y}, or ask the dentist for "
            "the next revision." in answer.content.decode()
        )
        case.refresh_from_db()
        assert case.surgery_on == stored
        after = first + timedelta(days=1)
        assert save_surgery(client, here.farah, case, f"{after:%d-%b-%Y}").status_code == 302

    def test_an_ambiguous_day_is_refused_and_stays_in_the_box(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        answer = save_surgery(client, here.farah, case, "03/04/2027")
        assert answer.status_code == 422
        text = answer.content.decode()
        assert "03/04/2027 can be read two ways: 3 Apr or 4 Mar." in text
        assert 'value="03/04/2027"' in text
        assert "<title>Error: " in text

    def test_the_laboratory_reads_it_and_cannot_move_it(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        client.force_login(here.lena)
        text = client.get(address("dates", case)).content.decode()
        assert "The office books it; propose a date below when it has to move." in text
        assert save_surgery(client, here.lena, case, TYPED).status_code == 403

    def test_two_people_who_move_it_at_once_see_both_days(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        stored = timezone.localdate() + timedelta(days=90)
        cases.set_surgery(case=case, version=case.version, on=stored, by=here.dora)
        answer = save_surgery(client, here.farah, case, TYPED)
        assert answer.status_code == 409
        text = answer.content.decode()
        assert "Dora Winsley saved it on" in text
        assert ">Surgery and delivery day<" in text
        assert TYPED in text
        assert f"{stored:%d-%b-%Y}" in text
        case.refresh_from_db()
        assert case.surgery_on == stored

    def test_after_a_conflict_the_stored_day_can_be_kept(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        stored = timezone.localdate() + timedelta(days=90)
        cases.set_surgery(case=case, version=case.version, on=stored, by=here.dora)
        fresh = Case.objects.get(pk=case.pk)
        save_surgery(client, here.farah, fresh, TYPED, **{"keep-surgery_on": "stored"})
        fresh.refresh_from_db()
        assert fresh.surgery_on == stored


class TestConfirming:
    def test_the_dentist_confirms_and_the_head_says_it(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        client.force_login(here.dora)
        answer = client.post(address("dates_confirm", case), {"version": case.version}, follow=True)
        assert "The surgery day is confirmed." in answer.content.decode()
        case.refresh_from_db()
        assert case.surgery_confirmed_by == here.dora

    def test_the_desk_cannot_confirm(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        client.force_login(here.farah)
        assert client.post(address("dates_confirm", case)).status_code == 403

    def test_a_day_that_moved_meanwhile_is_not_confirmed_unread(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        cases.set_surgery(case=case, version=case.version, on=NEXT_YEAR, by=here.farah)
        client.force_login(here.dora)
        answer = client.post(address("dates_confirm", case), {"version": case.version})
        assert answer.status_code == 409
        assert "Read the day below and confirm it again." in answer.content.decode()
        assert Case.objects.get(pk=case.pk).surgery_confirmed_at is None

    def test_without_a_day_there_is_nothing_to_confirm(self, client):
        here = world()
        case = here.walk(surgery_in_days=None).case
        client.force_login(here.dora)
        answer = client.post(address("dates_confirm", case), {"version": case.version})
        assert answer.status_code == 422
        assert "There is no surgery date to confirm. Enter it first." in answer.content.decode()


class TestAppointments:
    def test_the_office_books(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        client.force_login(here.farah)
        data = {"kind": "try-in", "on": TYPED, "status": "booked", "note": "morning"}
        assert client.post(address("appointment_new", case), data).status_code == 302
        row = case.appointments.get()
        assert (row.on, row.status, row.note) == (NEXT_YEAR, "booked", "morning")

    @pytest.mark.parametrize("name", ["lena", "mona"])
    def test_the_laboratory_only_proposes(self, client, name):
        here = world()
        case = here.case_at(Stage.SENT)
        client.force_login(getattr(here, name))
        data = {"kind": "try-in", "on": TYPED, "status": "booked"}
        assert client.post(address("appointment_new", case), data).status_code == 302
        assert case.appointments.get().status == "proposed"

    def test_the_office_books_what_was_proposed(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        row = cases.propose_appointment(
            case=case, by=here.lena, values={"kind": "try-in", "on": NEXT_YEAR, "note": ""}
        )
        client.force_login(here.farah)
        data = {
            "kind": "try-in",
            "on": TYPED,
            "status": "booked",
            "note": "",
            "version": row.version,
        }
        assert client.post(address("appointment", case, row.pk), data).status_code == 302
        row.refresh_from_db()
        assert row.status == "booked"

    def test_a_booked_date_is_the_office_s_own(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        row = Appointment.objects.create(case=case, kind="try-in", on=NEXT_YEAR)
        client.force_login(here.lena)
        data = {"kind": "review", "on": TYPED, "version": row.version}
        assert client.post(address("appointment", case, row.pk), data).status_code == 403
        text = client.get(address("appointment", case, row.pk)).content.decode()
        assert "The office moves this date." in text
        assert '<form method="post" novalidate>' not in text

    def test_a_date_without_a_day_is_refused(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        client.force_login(here.farah)
        answer = client.post(address("appointment_new", case), {"kind": "", "on": ""})
        assert answer.status_code == 422
        text = answer.content.decode()
        assert "Choose what the date is for." in text
        assert "Enter the day." in text
        assert "<title>Error: " in text
        assert not case.appointments.exists()

    def test_two_people_who_move_a_date_see_both(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        row = Appointment.objects.create(case=case, kind="try-in", on=NEXT_YEAR)
        other = NEXT_YEAR + timedelta(days=7)
        cases.save_appointment(
            case=case, appointment=row, version=1, by=here.dora, values={"on": other}
        )
        client.force_login(here.farah)
        data = {
            "kind": "try-in",
            "on": f"15-Mar-{NEXT_YEAR.year}",
            "status": "booked",
            "version": 1,
        }
        answer = client.post(address("appointment", case, row.pk), data)
        assert answer.status_code == 409
        text = answer.content.decode()
        assert f"15-Mar-{NEXT_YEAR.year}" in text
        assert f"{other:%d-%b-%Y}" in text
        row.refresh_from_db()
        assert row.on == other

    def test_after_a_conflict_each_field_can_be_kept_as_stored(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        row = Appointment.objects.create(case=case, kind="try-in", on=NEXT_YEAR, note="morning")
        client.force_login(here.farah)
        data = {
            "kind": "jaw records",
            "on": "03/04/2027",
            "status": "booked",
            "note": "evening",
            "version": 1,
            "keep-on": "stored",
            "keep-note": "yours",
        }
        assert client.post(address("appointment", case, row.pk), data).status_code == 302
        row.refresh_from_db()
        assert (row.kind, row.on, row.note) == ("jaw records", NEXT_YEAR, "evening")

    def test_a_date_of_another_case_is_not_found_here(self, client):
        here = world()
        one, other = here.case_at(Stage.DRAFT), here.walk(patient_code="P-200").case
        row = Appointment.objects.create(case=other, kind="try-in", on=NEXT_YEAR)
        client.force_login(here.farah)
        assert client.get(address("appointment", one, row.pk)).status_code == 404


class TestPlan:
    def test_the_latest_days_are_counted_back_from_the_surgery_day(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        cases.set_surgery(case=case, version=case.version, on=date(2027, 3, 12), by=here.dora)
        client.force_login(here.lena)
        text = client.get(address("dates", case)).content.decode()
        # Friday 12 March less 2 working days, by hand.
        assert "Wed\N{NO-BREAK SPACE}10\u2011Mar\u20112027" in text
        # Less 6 working days.
        assert "Thu\N{NO-BREAK SPACE}04\u2011Mar\u20112027" in text

    def test_without_a_surgery_day_the_page_says_why_nothing_is_planned(self, client):
        here = world()
        case = here.walk(surgery_in_days=None).case
        client.force_login(here.farah)
        text = client.get(address("dates", case)).content.decode()
        assert "The latest days appear here when the surgery day is known" in text

    def test_dropped_dates_stay_readable(self, client):
        here = world()
        case = here.case_at(Stage.SENT)
        Appointment.objects.create(
            case=case, kind="review", on=NEXT_YEAR, status=AppointmentStatus.DROPPED
        )
        client.force_login(here.farah)
        text = client.get(address("dates", case)).content.decode()
        assert "Dropped" in text
