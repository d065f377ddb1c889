"""Sessions on a shared tablet or PC at the bench: whose device it is, and what a PIN opens."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY, logout
from django.contrib.auth.signals import user_logged_in
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import rotate_token
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from labcases.domain import access, bench_devices, bench_keys
from labcases.middleware import LAST_SEEN_AT, SIGNED_IN_AT
from labcases.models import BenchDevice, BenchKey, User

GetResponse = Callable[[HttpRequest], HttpResponse]

BACKEND = "django.contrib.auth.backends.ModelBackend"
COOKIE = "bench-device"
SALT = "labcases.bench-device"
#: Browsers keep a cookie 400 days at the most.
COOKIE_SECONDS = 400 * 24 * 3600

KEY, DEVICE = "bench_key", "bench_device"
"""In the session: what it was begun by, and on which device."""

#: Pages of a house that bench work needs; every other one of a house asks for the password.
OPEN_OF_HOUSE = frozenset(
    {"checklists_in_use", "complaints_of_house", "curing_cycles", "lots", "profile_in_use"}
    | {"own_materials", "stock", "stock_add"}
)
#: Account, people, settings of a house and exports, where the address does not begin with a house.
SHUT = frozenset(
    {"bench_access", "bench_badge", "bench_device_stop", "bundle", "house_day_remove", "join"}
    | {"invitation_withdraw", "link_end", "link_road", "membership_stop", "paper_office"}
    | {"calendar_feeds", "calendar_feed_stop", "calendar_feed_file", "mail"}
    | {"paper_office_invite", "password_change", "prescription_teeth", "stock_file"}
)
ASKS_FOR_MORE = (
    "You began work here by PIN or badge. Accounts, people, settings of the laboratory and exports "
    "ask for more: log in with the password."
)


def cookie_name() -> str:
    """With the prefix, a browser refuses one that a sub-domain planted."""
    return f"__Host-{COOKIE}" if settings.SESSION_COOKIE_SECURE else COOKIE


def remember(response: HttpResponse, token: str) -> None:
    """Make the browser that gets this answer the registered device."""
    response.set_signed_cookie(
        cookie_name(),
        token,
        salt=SALT,
        max_age=COOKIE_SECONDS,
        httponly=True,
        samesite="Lax",
        secure=bool(settings.SESSION_COOKIE_SECURE),
    )


def device_of(request: HttpRequest) -> BenchDevice | None:
    """The registered device that a request comes from, unless it was stopped."""
    token = request.get_signed_cookie(cookie_name(), default=None, salt=SALT)
    return bench_devices.find(token) if token else None


def begun_at_bench(request: HttpRequest) -> bool:
    """Whether this session was begun by PIN or badge."""
    return KEY in getattr(request, "session", {})


def begin(request: HttpRequest, key: BenchKey, device: BenchDevice) -> None:
    """Begin the session of whose PIN or badge this is; the one before ends.

    Not by Django's `login`: that tells everybody that a password was right, and a count of wrong
    passwords would start anew with every PIN.
    """
    user = key.user
    now = timezone.now().timestamp()
    request.session.flush()
    request.session[SESSION_KEY] = str(user.pk)
    request.session[BACKEND_SESSION_KEY] = BACKEND
    request.session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    request.session[KEY], request.session[DEVICE] = key.pk, device.pk
    request.session[SIGNED_IN_AT] = request.session[LAST_SEEN_AT] = now
    request.user = user
    rotate_token(request)


@receiver(user_logged_in)
def password_was_used(request: HttpRequest, user: User, **kwargs: object) -> None:
    """A session is a full one after the password, and locked PINs work again."""
    request.session.pop(KEY, None)
    request.session.pop(DEVICE, None)
    bench_keys.password_used(user)


class BenchSessions:
    """Knows the device of each request, and keeps a session begun there to bench acts."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        device = device_of(request)
        request.bench_device = device  # type: ignore[attr-defined]
        user = request.user
        if user.is_authenticated and begun_at_bench(request):
            if device is not None and _goes_on(request, device, user):
                at = access.AtDevice(user.pk, device.organisation_id, device.called)
                with access.at_device(at):
                    return self._or_people(request, self.get_response(request))
            logout(request)
            messages.info(request, "What you began work by on this device counts no longer.")
        return self._or_people(request, self.get_response(request))

    def process_view(
        self, request: HttpRequest, _view: object, _args: object, _kwargs: object
    ) -> HttpResponse | None:
        match = request.resolver_match
        if not request.user.is_authenticated or not begun_at_bench(request) or match is None:
            return None
        if not shut(match.url_name or "", match.route):
            return None
        told = {"reason": ASKS_FOR_MORE, "password_first": True}
        return render(request, "403.html", told, status=403)

    def _or_people(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        """On a device whoever has to log in chooses a person first."""
        device = request.bench_device  # type: ignore[attr-defined]
        if device is None or request.user.is_authenticated:
            return response
        asked = f"{reverse(settings.LOGIN_URL)}?next="
        to_the_login = response.headers.get("Location", "").startswith(asked)
        return redirect("bench_people") if to_the_login else response


def shut(name: str, route: str) -> bool:
    """Whether an address asks for the password after a PIN or a badge."""
    of_house = route.startswith("organisations/") and name not in OPEN_OF_HOUSE
    return of_house or name in SHUT


def _goes_on(request: HttpRequest, device: BenchDevice, user: Any) -> bool:
    session = request.session
    return session.get(DEVICE) == device.pk and bench_keys.goes_on(key=session[KEY], user=user)
