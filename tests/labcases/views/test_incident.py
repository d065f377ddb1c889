"""What is done about one report: closing it, striking it out, reading both codes again."""

from __future__ import annotations

import pytest
from django.urls import reverse

from labcases import codes
from labcases.domain import case as cases
from labcases.enums import Stage
from tests.factories import world
from tests.labcases.domain.test_incident import report
from tests.labcases.views.pages import logged_in, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def walk(here):
    walk = here.walk()
    walk.to(Stage.ACCEPTED)
    return walk


def send(user, name, row, **data):
    url = reverse(name, args=[row.case.code, row.pk])
    return logged_in(user).post(url, data, follow=True)


def test_a_report_is_closed_with_what_was_done(here, walk):
    row = report(walk, "broken-cast", here.tomas, "own")

    assert "Write what was done about it." in text_of(send(here.mona, "incident_close", row))
    answer = send(here.mona, "incident_close", row, done="Poured again.")

    assert "Done: Poured again." in text_of(answer)
    assert send(here.mona, "incident_close", row, done="Twice.").status_code == 409


def test_a_wrong_report_is_struck_out_and_says_what_stays(here, walk):
    row = report(walk, "broken-cast", here.tomas, "own")

    assert send(here.lena, "incident_strike", row, reason="No.").status_code == 403
    said = text_of(send(here.tomas, "incident_strike", row, reason="It was whole."))

    assert "It was whole. What it took back stays taken back." in said
    assert send(here.tomas, "incident_strike", row, reason="Again.").status_code == 409


def test_a_frozen_case_is_taken_off_hold_after_two_people_have_looked(here, walk):
    row = report(walk, "wrong-patient", here.tomas)
    resume = reverse("case_resume", args=[walk.case.code])
    told = {"case_code": codes.grouped(row.case.code), "patient_code": "P-100"}

    refused = logged_in(here.mona).post(resume)
    assert refused.status_code == 422
    assert "Two people have still to read case code and patient code again" in text_of(refused)

    wrong = send(here.farah, "incident_identity", row, **{**told, "patient_code": "P-101"})
    assert wrong.status_code == 422
    said = text_of(wrong)
    assert "You read P-101, and that is not the patient code of this case." in said
    assert told["case_code"] not in said
    assert "P-100" not in said
    assert "Patient to be read again" in said
    assert 'value="P-101"' in wrong.content.decode()

    send(here.farah, "incident_identity", row, **told)
    assert send(here.farah, "incident_identity", row, **told).status_code == 409
    said = text_of(send(here.tomas, "incident_identity", row, **told))

    assert "Farah Kline read both codes again, office," in said
    assert "Tomas Abelard read both codes again, laboratory," in said
    logged_in(here.mona).post(resume)
    assert walk.reload().on_hold is False


def test_both_codes_are_asked_for(here, walk):
    row = report(walk, "wrong-patient", here.tomas)

    said = text_of(send(here.farah, "incident_identity", row))

    assert "Read the case code off the things and type it." in said
    assert "Read the patient code off the things or the chart and type it." in said


def test_a_case_on_hold_says_what_became_stale_and_what_comes_back(here, walk):
    cases.save_appointment(
        case=walk.reload(),
        appointment=None,
        version=0,
        by=here.farah,
        values={"kind": "try-in", "on": "2027-03-12", "status": "booked"},
    )
    cases.hold(case=walk.reload(), reason="The patient is ill.", by=here.farah)

    said = text_of(logged_in(here.lena).get(reverse("case", args=[walk.case.code])))

    assert "Try-in of 12-Mar-2027 was dropped. Book it again if it is wanted." in said
    assert "1 x impression, at the laboratory" in said
    assert "How long it is kept counts from the delivery; without one, from its end." in said


def test_an_ended_case_says_until_when_it_is_kept(here, walk):
    report(walk, "surgery-cancelled", here.dora, "end")

    said = text_of(logged_in(here.lena).get(reverse("case", args=[walk.case.code])))

    assert "After the end" in said
    assert "Kept until" in said
    assert "It was never delivered, so its end counts." in said


def test_the_desk_shows_nothing_of_a_case_on_hold_as_due_or_late(here):
    walk = here.walk(surgery_in_days=5)
    walk.to(Stage.ACCEPTED)
    desk = reverse("desk")
    assert "Late" in text_of(logged_in(here.lena).get(desk))

    cases.hold(case=walk.reload(), reason="The patient is ill.", by=here.farah)

    said = text_of(logged_in(here.lena).get(desk))
    assert "The patient is ill." in said
    for word in ("Late by", "Latest day", "Surgery and delivery", "has not confirmed"):
        assert word not in said


def test_after_a_death_the_desk_says_it_once_and_then_nothing(here, walk):
    row = report(walk, "patient-died", here.dora, "end")
    lena, desk = logged_in(here.lena), reverse("desk")

    assert "New: The patient has died" in text_of(lena.get(desk))
    lena.post(reverse("incidents_read", args=[walk.case.code]), {"seen": [row.pk]})

    assert "The patient has died" not in text_of(lena.get(desk))
    assert "The patient has died. No notice" in text_of(
        lena.get(reverse("case", args=[walk.case.code]))
    )
