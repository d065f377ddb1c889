"""A person's own calendar feeds, and the file that calendars fetch."""

from __future__ import annotations

from axes.handlers.proxy import AxesProxyHandler
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from labcases.domain import access, feeds
from labcases.enums.feeds import FeedKind
from labcases.forms.feeds import FeedForm
from labcases.models import CalendarFeed
from labcases.outputs import calendar_file
from labcases.templatetags.units import long_date
from labcases.views._lookup import person

#: Guesses of a token are counted where wrong passwords are, under this name.
GUESSER = "calendar feed"
WAIT_SECONDS = 15 * 60


@require_http_methods(["GET", "POST"])
def calendar_feeds(request: HttpRequest) -> HttpResponse:
    """One's own feeds, and a new one, whose address is shown this once."""
    user = person(request)
    posted = request.POST if request.method == "POST" else None
    form = FeedForm(posted, houses=access.organisations(user))
    if form.is_valid():
        try:
            made = feeds.make(user=user, **form.values())
        except ValueError as refused:
            form.add_error(None, str(refused))
        else:
            return _made(request, made)
    context = {
        "page_title": "Calendar feed",
        "feeds": [_shown(row) for row in feeds.of(user)],
        "form": form,
    }
    status = 422 if form.errors else 200
    return render(request, "accounts/calendar_feeds.html", context, status=status)


def _shown(row: CalendarFeed) -> dict[str, object]:
    """A line of the list."""
    return {
        "row": row,
        "kinds": ", ".join(str(FeedKind(kind).label) for kind in row.kinds),
        "ended": row.expires_at <= timezone.now(),
    }


def _made(request: HttpRequest, made: feeds.Made) -> HttpResponse:
    address = reverse("calendar_feed_file", args=[made.token])
    context = {
        "page_title": "Your new calendar feed",
        "link": request.build_absolute_uri(address),
        "feed": made.feed,
    }
    return render(request, "accounts/calendar_feed_made.html", context)


@require_http_methods(["GET", "POST"])
def stop(request: HttpRequest, pk: int) -> HttpResponse:
    """Stop one of one's own feeds."""
    row = get_object_or_404(CalendarFeed, pk=pk, user=person(request), revoked_at__isnull=True)
    if request.method == "POST":
        feeds.revoke(feed=row)
        messages.success(request, f"The feed {row} is stopped.")
        return redirect("calendar_feeds")
    context = {
        "page_title": "Stop the calendar feed",
        "sentence": f"The feed {row} was made on {long_date(row.made_at)}.",
        "effects": [
            "Its address answers nothing any more, at once and for good.",
            "Calendars keep what they fetched last until you take the calendar out of them.",
        ],
        "danger": True,
        "back": reverse("calendar_feeds"),
    }
    return render(request, "confirm.html", context)


@login_not_required
@require_safe
def calendar_feed_file(request: HttpRequest, token: str) -> HttpResponse:
    """What a calendar fetches: the token in the address is all that it shows.

    A wrong, a stopped and an expired token are answered alike. Unknown ones are counted by the
    address that sends them, like wrong passwords; who guesses on is told to wait, and so are the
    calendars of the same address.
    """
    AxesProxyHandler.update_request(request)
    # The counter stores the address that was asked for, and a token must stand in no table.
    request.axes_path_info = "/feeds/"  # type: ignore[attr-defined]
    guesser = {"username": GUESSER}
    if not AxesProxyHandler.is_allowed(request, guesser):
        return _wait(request)
    feed = feeds.find(token)
    if feed is None:
        if not feeds.known(token):
            AxesProxyHandler.user_login_failed(calendar_feed_file, guesser, request)
            request.axes_locked_out = False  # type: ignore[attr-defined]
        raise Http404
    answer = HttpResponse(
        calendar_file.written(feeds.fetch(feed)), content_type=calendar_file.CONTENT_TYPE
    )
    answer["Content-Disposition"] = 'inline; filename="case-dates.ics"'
    return answer


def _wait(request: HttpRequest) -> HttpResponse:
    request.axes_locked_out = False  # type: ignore[attr-defined]
    told = "Too many addresses of calendar feeds were tried from here. Wait 15 minutes.\n"
    return HttpResponse(
        told,
        status=429,
        content_type="text/plain; charset=utf-8",
        headers={"Retry-After": str(WAIT_SECONDS)},
    )
