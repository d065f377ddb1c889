"""What every answer carries, and when a session ends."""

import re
from datetime import datetime, timedelta

import pytest
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView
from django.http import HttpResponse
from django.urls import path
from django.utils import timezone

from labcases.domain import access
from labcases.enums import Role
from labcases.middleware import client_address
from labcases.models import User
from labcases.views.health import healthz
from tests.factories import MembershipFactory, OrganisationFactory


def page(request):
    """A page of a signed-in person, which asks to be cached and is not."""
    return HttpResponse("page", headers={"Cache-Control": "max-age=3600, public"})


def loses_a_role(request):
    """The roles of this person before and after one of them ends."""
    before = [row.role for row in access.memberships(request.user)]
    request.user.memberships.update(active=False)
    after = [row.role for row in access.memberships(request.user)]
    return HttpResponse(f"{before} {after}")


@login_not_required
def broken(request):
    raise RuntimeError("a fault of ours")


urlpatterns = [
    path("page", page, name="home"),
    path("broken", broken),
    path("roles", loses_a_role),
    path("healthz", healthz),
    path("login", LoginView.as_view(template_name="registration/locked_out.html"), name="login"),
]


@pytest.fixture(autouse=True)
def _own_urls(settings):
    settings.ROOT_URLCONF = __name__


@pytest.fixture
def clock(monkeypatch):
    """A clock that the test moves: clock.now += timedelta(minutes=5)."""

    class Clock:
        now = datetime(2027, 3, 12, 9, 0, tzinfo=timezone.get_current_timezone())

    monkeypatch.setattr(timezone, "now", lambda: Clock.now)
    return Clock


@pytest.fixture
def signed_in(client, db, clock):
    client.force_login(User.objects.create(username="farah", full_name="Farah"))
    return client


POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; "
    "object-src 'none'"
)


@pytest.mark.django_db
@pytest.mark.parametrize("address", ["/healthz", "/page", "/login", "/nothing-here", "/broken"])
def test_every_answer_carries_the_security_headers(client, address):
    client.raise_request_exception = False

    answer = client.get(address)

    assert answer["Content-Security-Policy"] == POLICY
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["Referrer-Policy"] == "same-origin"
    assert "camera=()" in answer["Permissions-Policy"]
    assert answer["Cache-Control"] == "private, no-store"


def test_a_signed_in_answer_is_never_stored_even_when_a_view_asks_for_it(signed_in):
    assert signed_in.get("/page")["Cache-Control"] == "private, no-store"


@pytest.mark.django_db
def test_pages_ask_for_a_login_unless_they_are_marked(client):
    assert client.get("/page").headers["Location"] == "/login?next=/page"
    assert client.get("/healthz").content == b"ok"


@pytest.mark.django_db
def test_a_fault_shows_no_detail(client, caplog):
    client.raise_request_exception = False

    answer = client.get("/broken")

    assert answer.status_code == 500
    assert b"a fault of ours" not in answer.content
    assert b"Traceback" not in answer.content


def test_an_hour_without_use_signs_out(signed_in, clock):
    clock.now += timedelta(minutes=59)
    assert signed_in.get("/page").status_code == 200
    clock.now += timedelta(minutes=61)

    refused = signed_in.get("/page")

    assert refused.headers["Location"] == "/login?next=/page"
    said = [str(message) for message in signed_in.get("/login").context["messages"]]
    assert said == ["You were signed out after 60 minutes without use. Sign in again to go on."]


def test_twelve_hours_sign_out_however_busy(signed_in, clock):
    for _ in range(24):
        clock.now += timedelta(minutes=30)
        assert signed_in.get("/page").status_code == 200
    clock.now += timedelta(minutes=1)

    assert signed_in.get("/page").status_code == 302
    said = [str(message) for message in signed_in.get("/login").context["messages"]]
    assert said == ["You were signed out after 12 hours. Sign in again to go on."]


def test_signing_in_again_starts_a_new_day(signed_in, clock):
    clock.now += timedelta(minutes=50)
    signed_in.force_login(User.objects.get())
    clock.now += timedelta(minutes=50)

    assert signed_in.get("/page").status_code == 200


@pytest.mark.django_db
def test_a_page_reads_roles_once_and_anything_else_each_time(signed_in):
    person = User.objects.get()
    row = MembershipFactory(user=person, organisation=OrganisationFactory(), role=Role.TECHNICIAN)

    assert signed_in.get("/roles").content == b"['technician'] ['technician']"
    assert signed_in.get("/roles").content == b"[] []"

    row.active = True
    row.save()
    assert signed_in.post("/roles").content == b"['technician'] []"


def test_the_request_number_is_given_or_taken_over_when_it_is_harmless(client):
    given = client.get("/healthz")["X-Request-ID"]
    taken = client.get("/healthz", headers={"X-Request-ID": "proxy-0123456789"})["X-Request-ID"]
    refused = client.get("/healthz", headers={"X-Request-ID": "a b\tc"})["X-Request-ID"]

    assert len(given) == 16
    assert taken == "proxy-0123456789"
    assert refused != "a b\tc"


# Sign-in attempts


def test_ten_wrong_passwords_pause_this_person_at_this_place_only(client, db, settings):
    settings.AXES_ENABLED = True
    User.objects.create_user("dora", password="a right and long one", full_name="Dora")
    wrong = {"username": "dora", "password": "not the right one"}
    for _ in range(9):
        assert client.post("/login", wrong).status_code == 200

    paused = client.post("/login", wrong)
    right_but_paused = client.post("/login", {**wrong, "password": "a right and long one"})
    elsewhere = client.post(
        "/login", {**wrong, "password": "a right and long one"}, REMOTE_ADDR="192.0.2.9"
    )

    assert paused.status_code == 429
    assert "Wait 15 minutes, then sign in again." in paused.content.decode()
    assert right_but_paused.status_code == 429
    assert elsewhere.status_code == 302


def test_the_pause_looks_the_same_for_a_name_that_does_not_exist(client, db, settings):
    settings.AXES_ENABLED = True
    User.objects.create_user("dora", password="a right and long one", full_name="Dora")
    answers = {}
    for name in ("dora", "nobody"):
        for _ in range(10):
            answers[name] = client.post("/login", {"username": name, "password": "wrong"})

    assert answers["dora"].status_code == answers["nobody"].status_code == 429
    # The time to wait for counts from each name's own last try, which may be a minute apart.
    known, unknown = (re.sub(rb"\d\d:\d\d", b"", answers[name].content) for name in answers)
    assert known == unknown


@pytest.mark.parametrize(
    ("behind_proxy", "expected"), [(False, "10.0.0.1"), (True, "198.51.100.7")]
)
def test_the_address_is_the_one_that_our_own_proxy_saw(rf, settings, behind_proxy, expected):
    settings.BEHIND_TLS_PROXY = behind_proxy
    request = rf.get(
        "/", REMOTE_ADDR="10.0.0.1", headers={"X-Forwarded-For": "203.0.113.1, 198.51.100.7"}
    )

    assert client_address(request) == expected
