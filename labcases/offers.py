"""After an act that can be undone, the next page has a button for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils.functional import SimpleLazyObject

from labcases.domain import history, undo

KEY = "undo_offer"
GetResponse = Callable[[HttpRequest], HttpResponse]


class OfferUndo:
    """Keeps which entries a post has just written, for the page that follows.

    Numbers and the code of the case only, in the session of the person who wrote them.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method != "POST":
            return self.get_response(request)
        with history.noting() as written:
            response = self.get_response(request)
        if response.status_code == 302 and written and request.user.is_authenticated:
            request.session.pop(KEY, None)
            found = undo.offered(written, request.user)
            if found:
                request.session[KEY] = {
                    "code": found[0].case.code,
                    "numbers": [entry.sequence for entry in found],
                    "next": response.headers["Location"],
                }
        return response


def undo_offer(request: HttpRequest) -> dict[str, Any]:
    """`undo_offer`: shown once, by the page that asks for it first."""
    return {KEY: SimpleLazyObject(lambda: _taken(request))}


def _taken(request: HttpRequest) -> dict[str, Any] | None:
    session = getattr(request, "session", None)
    offer: dict[str, Any] | None = session.pop(KEY, None) if session is not None else None
    return offer
