"""Moving the surgery day, as the people of both houses meet it."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.enums import Stage
from labcases.models import Appointment, Case, Prescription
from labcases.templatetags.units import due_date
from tests.factories import world

pytestmark = pytest.mark.django_db


def page(client, user, case, name="surgery_move", **query):
    client.force_login(user)
    return client.get(reverse(name, args=[case.code]), query)


def test_the_page_of_the_dates_leads_to_what_another_day_changes(client):
    here = world()
    case = here.case_at(Stage.FINAL_WAX)
    text = page(client, here.farah, case, "dates").content.decode()
    assert "Show what another day changes" in text
    assert reverse("surgery_move", args=[case.code]) in text


def test_what_it_changes_is_shown_and_then_one_act_moves_it(client):
    here = world()
    case = here.case_at(Stage.FINAL_WAX)
    on = case.surgery_on + timedelta(days=7)

    text = page(client, here.farah, case, surgery_on=f"{on:%d-%b-%Y}").content.decode()
    assert f"Move the surgery to {due_date(on)}" in text.replace("\N{NON-BREAKING HYPHEN}", "-")
    assert "The outcome of the try-in stays." in text
    assert Case.objects.get(pk=case.pk).surgery_on == on - timedelta(days=7)

    told = {"surgery_on": f"{on:%d-%b-%Y}", "version": case.version}
    client.post(reverse("dates", args=[case.code]), told)
    assert Case.objects.get(pk=case.pk).surgery_on == on
    client.force_login(here.lena)
    assert "Surgery moved from" in client.get(reverse("desk")).content.decode()
    shown = page(client, here.lena, case, "dates").content.decode()
    assert "nobody of your house has said yet that they saw it" in shown
    said = client.post(reverse("dates_seen", args=[case.code]), follow=True).content.decode()
    assert "Seen. The office reads it with the dates." in said
    assert "Surgery moved from" not in client.get(reverse("desk")).content.decode()
    assert "Seen by Lena" in page(client, here.farah, case, "dates").content.decode()


def test_the_laboratory_looks_and_asks(client):
    here = world()
    case = here.case_at(Stage.FINAL_WAX)
    on = case.surgery_on + timedelta(days=7)
    text = page(client, here.mona, case, surgery_on=f"{on:%d-%b-%Y}").content.decode()
    assert "Move the surgery to" not in text
    assert f"Ask for {due_date(on)}" in text.replace("\N{NON-BREAKING HYPHEN}", "-")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Enter the day that you want to look at."),
        ("03/04/2027", "can be read two ways"),
        ("the same", "already. Enter another day."),
        ("the first extraction", "surgery comes after that"),
    ],
)
def test_what_cannot_be_looked_at_is_said_and_stays_in_the_box(client, typed, said):
    here = world()
    case = here.case_at(Stage.FINAL_WAX)
    days = {
        "the same": case.surgery_on,
        "the first extraction": case.prescription.first_extraction_on,
    }
    text = f"{days[typed]:%d-%b-%Y}" if typed in days else typed
    answer = page(client, here.farah, case, surgery_on=text)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert f'value="{text}"' in answer.content.decode() or not text


def test_a_booking_is_looked_at_before_it_is_stored(client):
    here = world()
    case = here.case_at(Stage.SET_UP)
    on = case.surgery_on - timedelta(days=1)
    told = {"kind": "try-in", "on": f"{on:%d-%b-%Y}", "status": "booked", "note": "at nine"}
    client.force_login(here.farah)

    answer = client.post(reverse("appointment_new", args=[case.code]), {**told, "look": "1"})

    text = answer.content.decode()
    assert answer.status_code == 200
    assert "is after its latest day" in text
    assert 'value="at nine"' in text
    assert not Appointment.objects.exists()
    client.post(reverse("appointment_new", args=[case.code]), told)
    row = Appointment.objects.get()
    changed = {**told, "on": f"{on - timedelta(days=30):%d-%b-%Y}", "version": row.version}
    address = reverse("appointment", args=[case.code, row.pk])
    text = client.post(address, {**changed, "look": "1"}).content.decode()
    assert "Latest day then" in text
    row.refresh_from_db()
    assert row.on == on


@pytest.mark.parametrize(
    ("changes", "days", "said"),
    [
        ({"kind": "try-in", "status": "done"}, 3, "is ahead: it cannot be done yet."),
        ({"kind": "review", "status": "booked"}, 3, "A review comes after the surgery on"),
    ],
)
def test_dates_that_cannot_be_are_refused_with_words(client, changes, days, said):
    here = world()
    case = here.case_at(Stage.SET_UP)
    client.force_login(here.farah)
    on = timezone.localdate() + timedelta(days=days)
    told = {"on": f"{on:%d-%b-%Y}", "note": "at nine", **changes}
    answer = client.post(reverse("appointment_new", args=[case.code]), told)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert 'value="at nine"' in answer.content.decode()
    assert not Appointment.objects.exists()


def test_a_day_that_has_passed_is_told(client):
    here = world()
    case = here.case_at(Stage.FINAL_WAX)
    # So that surgery may lie behind the first extraction and before today.
    Prescription.objects.filter(case=case).update(
        first_extraction_on=timezone.localdate() - timedelta(days=60)
    )
    on = timezone.localdate() - timedelta(days=2)
    text = page(client, here.farah, case, surgery_on=f"{on:%d-%b-%Y}").content.decode()
    assert "has passed. It is right only where the surgery was held on that day." in text


def test_a_day_that_cannot_be_met_is_told_on_the_case_and_at_the_bench(client):
    here = world()
    case = here.case_at(Stage.SET_UP)
    Case.objects.filter(pk=case.pk).update(surgery_on=timezone.localdate() + timedelta(days=1))
    assert (
        "cannot be met any more: see the dates"
        in page(client, here.tomas, case, "case").content.decode()
    )
    bench = client.get(reverse("bench")).content.decode()
    assert "the surgery day cannot be met any more" in bench
