"""The page, file and paper of the devices of a period, only where the profile asks."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.enums import Stage
from labcases.models import Organisation
from tests import needs
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def european(here):
    Organisation.objects.filter(pk=here.laboratory.pk).update(profile="eu")
    return here


def get(client, user, house, name="devices", query=""):
    client.force_login(user)
    return client.get(f"{reverse(name, args=[house.pk])}{query}")


def test_a_house_whose_profile_asks_for_none_has_no_list(here, client):
    here.walk().to(Stage.DISPATCHED)
    answer = get(client, here.mona, here.laboratory)
    assert "asks for no list of devices" in answer.content.decode()
    assert "dispatched." not in answer.content.decode()
    for name in ("devices_csv", "devices_pdf"):
        assert get(client, here.mona, here.laboratory, name).status_code == 404
    house = client.get(reverse("organisation", args=[here.laboratory.pk])).content.decode()
    assert reverse("devices", args=[here.laboratory.pk]) not in house


def test_the_list_names_codes_and_its_source_and_never_a_patient(european, client):
    here = european
    case = here.walk(patient_code="P-77", patient_name="Nobody Told").to(Stage.DISPATCHED)
    text = get(client, here.lena, here.laboratory).content.decode()
    assert "1 device dispatched" in text
    assert case.code in text
    assert "P-77" in text
    assert "Article 21(2), read" in text
    assert "Nobody Told" not in text
    day = timezone.localdate().isoformat()
    answer = get(client, here.mona, here.laboratory, "devices_csv", f"?since={day}&until={day}")
    assert answer["Content-Disposition"].endswith(f'devices-{day}-{day}.csv"')
    assert (
        f'{case.code},"Upper immediate denture, heat-cured resin",P-77' in answer.content.decode()
    )


@pytest.mark.parametrize("name", ["devices", "devices_csv", "devices_pdf"])
def test_a_period_that_cannot_be_is_refused(european, client, name):
    answer = get(client, european.mona, european.laboratory, name, "?since=never")
    assert answer.status_code == 422
    assert "never" in answer.content.decode()


def test_the_bench_does_not_list_devices(european, client):
    assert get(client, european.tomas, european.laboratory).status_code == 403


@needs.pango
def test_the_paper_is_a_pdf(european, client):
    european.walk().to(Stage.DISPATCHED)
    answer = get(client, european.mona, european.laboratory, "devices_pdf")
    assert answer.content.startswith(b"%PDF")
