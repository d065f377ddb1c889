"""What a person sees after too many failed sign-ins."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def locked_out(
    request: HttpRequest, response: HttpResponse | None, credentials: dict[str, Any] | None
) -> HttpResponse:
    """Say how long to wait; the same words whether the account exists or not."""
    minutes = int(settings.AXES_COOLOFF_TIME.total_seconds() // 60)
    return render(request, "registration/locked_out.html", {"minutes": minutes}, status=429)
