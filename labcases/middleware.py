"""What is added to every request and answer: headers, a request number, the end of a session."""

import re
import secrets
from collections.abc import Callable

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.signals import user_logged_in
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.cache import patch_cache_control

from labcases.domain import access
from labcases.domain.erasing import Restricted
from labcases.logs import request_number

GetResponse = Callable[[HttpRequest], HttpResponse]

SIGNED_IN_AT = "signed_in_at"
LAST_SEEN_AT = "last_seen_at"
#: On a registered bench device, which several people share and which stands where others pass; a
#: setting-up of a few teeth is not interrupted by it. Common practice, no source.
BENCH_IDLE_MINUTES = 15
#: The session row is written at most this often just to move the idle clock.
IDLE_CLOCK_STEP_SECONDS = 60


class SecurityHeaders:
    """The Content-Security-Policy and its companions, on every answer.

    First in the list, so that static files and errors carry them as well.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response
        self.headers = {
            "Content-Security-Policy": "; ".join(
                f"{name} {value}" for name, value in settings.CONTENT_SECURITY_POLICY.items()
            ),
            "Permissions-Policy": settings.PERMISSIONS_POLICY,
        }

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        for name, value in self.headers.items():
            response.setdefault(name, value)
        return response


class RequestNumber:
    """Gives each request a number that its log lines and error page share."""

    accepted = re.compile(r"[A-Za-z0-9-]{8,64}")

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        offered = request.headers.get("X-Request-ID", "")
        number = offered if self.accepted.fullmatch(offered) else secrets.token_hex(8)
        token = request_number.set(number)
        try:
            response = self.get_response(request)
        finally:
            request_number.reset(token)
        response["X-Request-ID"] = number
        return response


class NoStore:
    """Keeps every answer that the application itself makes out of browser and proxy caches.

    Static files are answered before this is reached. After a logout the Back button must show
    nothing of a case, so no view may loosen this.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        del response["Cache-Control"]
        patch_cache_control(response, private=True, no_store=True)
        return response


class RolesReadOnce:
    """Reads the roles of a person once for a page that only reads.

    Every other request, and so whatever may change a role, asks for them each time.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method not in ("GET", "HEAD"):
            return self.get_response(request)
        with access.read_once():
            return self.get_response(request)


@receiver(user_logged_in)
def start_session_clock(request: HttpRequest, **kwargs: object) -> None:
    """Remember when this person signed in; signing in again starts anew."""
    now = timezone.now().timestamp()
    request.session[SIGNED_IN_AT] = now
    request.session[LAST_SEEN_AT] = now


class SessionLimits:
    """Signs a person out after a time without use, and at the latest after the longest time."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.user.is_authenticated:
            ended = self._why_ended(request)
            if ended:
                logout(request)
                messages.info(request, f"{ended} Sign in again to go on.")
        return self.get_response(request)

    def _why_ended(self, request: HttpRequest) -> str | None:
        now = timezone.now().timestamp()
        session = request.session
        signed_in = session.setdefault(SIGNED_IN_AT, now)
        last_seen = session.get(LAST_SEEN_AT, signed_in)
        if now - signed_in > settings.SESSION_COOKIE_AGE:
            return f"You were signed out after {settings.SESSION_COOKIE_AGE // 3600} hours."
        idle = settings.SESSION_IDLE_MINUTES
        if getattr(request, "bench_device", None) is not None:
            idle = min(idle, BENCH_IDLE_MINUTES)
        if now - last_seen > idle * 60:
            return f"You were signed out after {idle} minutes without use."
        if now - last_seen > IDLE_CLOCK_STEP_SECONDS:
            session[LAST_SEEN_AT] = now
        return None


class ClosedCases:
    """Leads whoever works on a restricted case to the page that says why it is closed."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, wrong: Exception) -> HttpResponse | None:
        if not isinstance(wrong, Restricted):
            return None
        messages.info(request, str(wrong))
        return redirect("erasure", wrong.code)


def client_address(request: HttpRequest) -> str:
    """The address that sign-in attempts are counted by.

    Behind a proxy it is the last entry of X-Forwarded-For, the one that our own proxy wrote;
    earlier entries are whatever the sender likes.
    """
    if settings.BEHIND_TLS_PROXY:
        forwarded = request.headers.get("X-Forwarded-For", "").rsplit(",", 1)[-1].strip()
        if forwarded:
            return forwarded
    return str(request.META.get("REMOTE_ADDR", ""))
