"""The page of a laboratory's quality: its period, its tables and its file."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from labcases.enums import Stage
from labcases.enums.remount import RemountAct
from labcases.management import walk_remount
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def get(client, user, house, query="", name="quality"):
    client.force_login(user)
    return client.get(f"{reverse(name, args=[house.pk])}{query}")


def test_ten_readings_bring_limits_and_nine_do_not(here, client):
    cases = [here.walk(patient_code=f"P-{n}", patient_name="Nobody Told") for n in range(10)]
    for number, walk in enumerate(cases[:9]):
        rise = Decimal("0.3") + Decimal(number % 2) / 10
        walk_remount.log(walk.case, here.tomas, RemountAct.PIN_READ, rise_mm=rise)
    text = get(client, here.mona, here.laboratory).content.decode()
    assert "9 cases: too few for limits, which need 10." in text
    walk_remount.log(cases[9].case, here.tomas, RemountAct.PIN_READ, rise_mm=Decimal("1.9"))
    text = get(client, here.mona, here.laboratory).content.decode()
    assert "1 outside." in text
    # Once in the wide drawing, once in the narrow one.
    assert text.count('class="rise-point"') == 2 * 9
    assert text.count('class="rise-outside"') == 2 * 1
    assert "The page itself was not read" in text
    assert "Nobody Told" not in text
    assert "P-3" not in text


def test_the_period_stands_in_the_address_and_goes_along_to_the_file(here, client):
    here.walk().to(Stage.SENT)
    day = timezone.localdate().isoformat()
    text = get(client, here.tomas, here.laboratory, f"?since={day}&until={day}").content.decode()
    assert (
        f"{reverse('quality_csv', args=[here.laboratory.pk])}?since={day}&amp;until={day}" in text
    )
    assert "Ferry Street Office" in text
    assert "too few" in text
    answer = get(client, here.tomas, here.laboratory, f"?since={day}&until={day}", "quality_csv")
    assert answer["Content-Disposition"].endswith(f'quality-{day}-{day}.csv"')
    assert "questions,All offices" in answer.content.decode()


@pytest.mark.parametrize("name", ["quality", "quality_csv"])
def test_a_period_that_cannot_be_is_refused_and_stays_in_its_boxes(here, client, name):
    answer = get(client, here.mona, here.laboratory, "?since=2026-03-02&until=2026-03-01", name)
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "The last day lies before the first. Check both days." in text
    assert 'value="2026-03-01"' in text


def test_it_is_for_bench_and_manager_of_a_laboratory(here, client):
    assert get(client, here.lena, here.laboratory).status_code == 403
    assert get(client, here.dora, here.office).status_code == 404
    client.force_login(here.mona)
    house = client.get(reverse("organisation", args=[here.laboratory.pk])).content.decode()
    assert reverse("quality", args=[here.laboratory.pk]) in house
