"""The page of the stages of a laboratory."""

import pytest
from django.urls import reverse

from labcases.enums import Stage
from labcases.enums.dates import Work
from tests.factories import world

pytestmark = pytest.mark.django_db

PROCESSING = list(Stage).index(Stage.PROCESSING)
WORK = [work for work in Work if work not in ("jaw records", "try-in", "arrival", "road")]
DAYS = WORK.index(Work.PROCESSING)


def test_a_manager_names_a_stage_and_gives_it_days(client):
    here = world()
    address = reverse("stages_of_house", args=[here.laboratory.pk])
    client.force_login(here.mona)

    client.post(address, {f"name_{PROCESSING}": "Press and cure", f"days_{DAYS}": "5"})

    here.laboratory.refresh_from_db()
    assert here.laboratory.stage_names == {"processing": "Press and cure"}
    assert here.laboratory.stage_days == {"processing": 5}
    shown = client.get(address).content.decode()
    assert 'value="Press and cure"' in shown
    assert "common practice, beside a commercial laboratory" in shown
    client.post(address, {})
    here.laboratory.refresh_from_db()
    assert (here.laboratory.stage_names, here.laboratory.stage_days) == ({}, {})


def test_what_is_wrong_is_said_in_words(client):
    here = world()
    address = reverse("stages_of_house", args=[here.laboratory.pk])
    client.force_login(here.mona)

    for typed, words in (("0", "takes at least 1 working day."), ("x", "as a whole number.")):
        answer = client.post(address, {f"days_{DAYS}": typed})
        assert answer.status_code == 422
        assert f"{words}" in answer.content.decode()


def test_a_technician_reads_it_and_finds_no_box(client):
    here = world()
    client.force_login(here.tomas)
    shown = client.get(reverse("stages_of_house", args=[here.laboratory.pk])).content.decode()
    assert "Save the stages" not in shown
    assert "Trimming of the cast and anterior set-up" in shown
