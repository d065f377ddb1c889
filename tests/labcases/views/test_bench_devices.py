"""The pages where devices, PINs and badges are kept."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from labcases.domain import bench_keys
from labcases.models import BenchDevice, BenchKey
from tests.factories import PASSWORD, world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def signed_in(user):
    browser = Client()
    browser.force_login(user)
    return browser


def text(answer):
    return answer.content.decode()


def set_pin(browser, pin="2749", again=None, password=PASSWORD):
    told = {"pin": pin, "pin_again": again or pin, "password": password}
    return browser.post("/bench-access/", told)


def test_a_registered_device_is_listed_as_the_one_sat_at_and_stopped(here):
    browser = signed_in(here.mona)
    page = reverse("bench_devices", args=[here.laboratory.pk])
    browser.post(page, {"device_name": "Tablet 2", "device_place": "by the window"})
    assert re.search(r"Tablet 2 <span class=\"quiet\">this one", text(browser.get(page)))
    assert "this one" not in text(signed_in(here.mona).get(page))

    browser.post(reverse("bench_device_stop", args=[BenchDevice.objects.get().pk]))
    shown = text(browser.get(page))
    assert "No device is registered yet" in shown


def test_a_device_without_a_name_keeps_what_was_typed(here):
    page = reverse("bench_devices", args=[here.laboratory.pk])
    answer = signed_in(here.mona).post(page, {"device_place": "by the window"})
    assert answer.status_code == 422
    assert "Enter what this device is called." in text(answer)
    assert "by the window" in text(answer)
    assert not BenchDevice.objects.exists()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"password": "wrong"}, "That is not your password. The PIN stays as it was"),
        ({"pin": "7777"}, "All digits of this PIN are the same"),
        ({"pin": "27"}, "A PIN is 4 to 8 digits"),
        ({"again": "2748"}, "The two PINs differ"),
    ],
)
def test_a_pin_asks_for_the_password_and_for_digits(here, typed, words):
    answer = set_pin(signed_in(here.tomas), **typed)
    assert answer.status_code == 422
    assert words in text(answer)
    assert not BenchKey.objects.exists()


def test_a_pin_is_set_and_a_manager_ends_it(here):
    assert set_pin(signed_in(here.tomas)).status_code == 302
    manager = signed_in(here.mona)
    page = reverse("bench_devices", args=[here.laboratory.pk])
    assert re.search(r"Tomas Abelard</th><td>PIN</td>", text(manager.get(page)))
    manager.post(reverse("bench_access_end", args=[here.laboratory.pk, here.tomas.pk]))
    assert re.search(r"Tomas Abelard</th><td>password only</td>", text(manager.get(page)))
    assert bench_keys.of(here.tomas) == {}


def test_nobody_ends_the_pin_of_another_laboratory(here):
    here.tomas.memberships.update(organisation=here.other_laboratory)
    address = reverse("bench_access_end", args=[here.laboratory.pk, here.tomas.pk])
    assert signed_in(here.mona).post(address).status_code == 404


def test_a_badge_is_shown_once_as_a_code_and_asks_for_the_password(here):
    browser = signed_in(here.tomas)
    refused = browser.post("/bench-access/badge/", {"password": "wrong"})
    assert refused.status_code == 422
    assert "No badge was made" in text(refused)
    made = browser.post("/bench-access/badge/", {"password": PASSWORD})
    assert '<svg class="qr"' in text(made) or 'class="qr"' in text(made)
    later = text(browser.get("/bench-access/"))
    assert "You have a badge since" in later
    assert 'class="qr"' not in later
