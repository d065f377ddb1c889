"""Who works on a bench device: what a PIN opens, and what ends it."""

from datetime import timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from labcases.domain import bench_devices, bench_keys, roles
from labcases.enums import Role
from labcases.models import BenchDevice
from tests.factories import PASSWORD, world

pytestmark = pytest.mark.django_db

PIN = "2749"
SESSION = settings.SESSION_COOKIE_NAME
PEOPLE = "/bench/people/"


@pytest.fixture
def here():
    found = world()
    bench_keys.set_pin(user=found.tomas, pin=PIN)
    bench_keys.set_pin(user=found.mona, pin="8053")
    return found


@pytest.fixture
def tablet(here):
    """A browser that Mona registered and left."""
    browser = Client()
    browser.force_login(here.mona)
    answer = browser.post(
        reverse("bench_devices", args=[here.laboratory.pk]),
        {"device_name": "Tablet 2", "device_place": "by the window"},
    )
    assert answer.status_code == 302
    assert browser.post("/logout/").url == PEOPLE
    return browser


def begin(browser, who, pin=PIN):
    return browser.post(f"{PEOPLE}{who.pk}/", {"pin": pin})


def text(answer):
    return answer.content.decode()


def test_two_taps_and_the_pin_change_the_person(here, tablet):
    assert reverse("bench_person", args=[here.tomas.pk]) in text(tablet.get(PEOPLE))
    assert begin(tablet, here.tomas).url == "/bench/"
    shown = text(tablet.get("/bench/"))
    assert "Tomas Abelard (TA)" in shown
    assert "Technician, Tarn Lane Laboratory, at Tablet 2" in shown
    assert "Switch person" in shown
    assert tablet.post("/logout/").url == PEOPLE
    assert begin(tablet, here.mona, "8053").url == "/bench/"
    assert "Mona Ridley (MR)" in text(tablet.get("/bench/"))


def test_the_people_are_those_of_the_bench_of_this_laboratory(here, tablet):
    assert [one.full_name for one in tablet.get(PEOPLE).context["people"]] == [
        "Mona Ridley",
        "Tomas Abelard",
    ]


def test_a_stopped_device_ends_the_work_on_it_with_the_next_request(here, tablet):
    begin(tablet, here.tomas)
    assert tablet.get("/bench/").status_code == 200
    manager = Client()
    manager.force_login(here.mona)
    device = BenchDevice.objects.get()
    manager.post(reverse("bench_device_stop", args=[device.pk]))

    assert tablet.get("/bench/").url == "/login/?next=/bench/"
    assert tablet.get(PEOPLE).status_code == 403
    assert begin(tablet, here.tomas).status_code == 403


def test_the_cookie_of_a_stopped_device_opens_nothing_elsewhere(here, tablet):
    thief = Client()
    thief.cookies["bench-device"] = tablet.cookies["bench-device"].value
    assert thief.get(PEOPLE).status_code == 200
    bench_devices.stop(device=BenchDevice.objects.get(), by=here.mona)

    assert thief.get(PEOPLE).status_code == 403
    assert begin(thief, here.tomas).status_code == 403


def test_the_cookie_is_signed_and_kept_from_scripts_and_the_token_is_not_stored(here, tablet):
    cookie = tablet.cookies["bench-device"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    token = cookie.value.split(":")[0]
    assert len(token) == 43
    assert token not in str(BenchDevice.objects.values_list())
    forged = Client()
    forged.cookies["bench-device"] = token
    assert forged.get(PEOPLE).status_code == 403


def test_a_session_goes_to_no_other_computer(here, tablet):
    begin(tablet, here.tomas)
    thief = Client()
    thief.cookies[SESSION] = tablet.cookies[SESSION].value
    assert thief.get("/bench/").url == "/login/?next=/bench/"


def test_five_wrong_pins_lock_it_until_the_password_is_used(here, tablet):
    for left in ("4 more wrong tries", "3 more", "2 more", "1 more wrong try "):
        answer = begin(tablet, here.tomas, "1234")
        assert answer.status_code == 422
        assert left in text(answer)
    assert "is locked on this device after 5 wrong tries" in text(begin(tablet, here.tomas, "1234"))
    assert "Log in with the password" in text(begin(tablet, here.tomas))
    assert begin(tablet, here.mona, "8053").status_code == 302
    tablet.post("/logout/")

    answer = tablet.post("/login/", {"username": "tomas", "password": PASSWORD})
    assert answer.status_code == 302
    tablet.post("/logout/")
    assert begin(tablet, here.tomas).status_code == 302


def test_a_right_pin_is_no_right_password(here, tablet, settings):
    """Whoever knows the PIN gets no more tries at the password by it."""
    settings.AXES_ENABLED = True
    for _ in range(6):
        tablet.post("/login/", {"username": "tomas", "password": "wrong"})
    begin(tablet, here.tomas)
    tablet.post("/logout/")
    answers = [tablet.post("/login/", {"username": "tomas", "password": "wrong"}) for _ in range(4)]
    assert answers[-1].status_code == 429


def test_nobody_of_another_laboratory_is_found(here, tablet):
    roles.change(
        person=here.tomas,
        organisation=here.laboratory,
        wanted=(),
        among=(Role.TECHNICIAN,),
        by=here.mona,
    )
    assert begin(tablet, here.tomas).status_code == 404
    assert begin(tablet, here.dora).status_code == 404


def test_whoever_leaves_the_laboratory_sees_nothing_with_the_next_request(here, tablet):
    begin(tablet, here.tomas)
    here.tomas.memberships.update(active=False)
    assert tablet.get("/bench/").status_code == 403


@pytest.mark.parametrize(
    "address",
    [
        "/password/",
        "/bench-access/",
        "/organisations/{house}/",
        "/organisations/{house}/change/",
        "/organisations/{house}/invite/",
        "/organisations/{house}/people/{tomas}/",
        "/organisations/{house}/bench-devices/",
        "/organisations/{house}/calendar/",
        "/organisations/{house}/stages/",
        "/organisations/{house}/quality.csv",
        "/organisations/{house}/stock.csv",
        "/organisations/{house}/devices.csv",
        "/organisations/{house}/lots.csv",
    ],
)
def test_account_people_settings_and_exports_ask_for_the_password(here, tablet, address):
    begin(tablet, here.mona, "8053")
    answer = tablet.get(address.format(house=here.laboratory.pk, tomas=here.tomas.pk))
    assert answer.status_code == 403
    assert "log in with the password" in text(answer)
    assert "/login/" in text(answer)


def test_the_same_pages_open_after_the_password(here, tablet):
    begin(tablet, here.mona, "8053")
    assert tablet.get("/login/").status_code == 200
    tablet.post("/login/", {"username": "mona", "password": PASSWORD})
    assert tablet.get(f"/organisations/{here.laboratory.pk}/").status_code == 200


def test_a_manager_does_bench_acts_only_after_a_pin(here, tablet):
    case = here.walk().case
    begin(tablet, here.mona, "8053")
    assert tablet.get(reverse("case", args=[case.code])).status_code == 200
    assert "Technician, Tarn Lane" in text(tablet.get("/bench/"))


def test_the_session_key_changes_with_the_person(here, tablet):
    begin(tablet, here.tomas)
    first = tablet.cookies[SESSION].value
    begin(tablet, here.mona, "8053")
    second = tablet.cookies[SESSION].value
    assert first != second
    old = Client()
    old.cookies[SESSION] = first
    old.cookies["bench-device"] = tablet.cookies["bench-device"].value
    assert old.get("/bench/").url == PEOPLE


def test_the_same_person_gets_another_session_key_too(here, tablet):
    begin(tablet, here.tomas)
    first = tablet.cookies[SESSION].value
    begin(tablet, here.tomas)
    assert tablet.cookies[SESSION].value != first


def test_fifteen_minutes_without_use_lead_back_to_the_people(here, tablet, monkeypatch):
    begin(tablet, here.tomas)
    now = timezone.now()
    monkeypatch.setattr(timezone, "now", lambda: now + timedelta(minutes=14))
    assert tablet.get("/bench/").status_code == 200
    monkeypatch.setattr(timezone, "now", lambda: now + timedelta(minutes=30))
    assert tablet.get("/bench/").url == PEOPLE
    assert "after 15 minutes without use" in text(tablet.get(PEOPLE))


def test_an_ended_pin_ends_what_was_begun_by_it(here, tablet):
    begin(tablet, here.tomas)
    bench_keys.end(person=here.tomas, laboratory=here.laboratory, by=here.mona)
    assert tablet.get("/bench/").url == PEOPLE
    assert "has no PIN" in text(begin(tablet, here.tomas))


def test_one_scan_of_a_badge_begins_work_and_a_newer_one_ends_it(here, tablet):
    badge = bench_keys.make_badge(user=here.tomas)
    assert tablet.post(f"{PEOPLE}badge/", {"badge": badge}).url == "/bench/"
    assert "Tomas Abelard (TA)" in text(tablet.get("/bench/"))

    bench_keys.make_badge(user=here.tomas)
    assert tablet.get("/bench/").url == PEOPLE
    answer = tablet.post(f"{PEOPLE}badge/", {"badge": badge})
    assert answer.status_code == 422
    assert "This badge is not known here" in text(answer)


def test_a_badge_of_another_laboratory_is_not_known(here, tablet):
    badge = bench_keys.make_badge(user=here.tomas)
    here.tomas.memberships.update(organisation=here.other_laboratory)
    assert tablet.post(f"{PEOPLE}badge/", {"badge": badge}).status_code == 422
