"""The first page: each person's own place."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from labcases.domain import access
from labcases.views._lookup import person


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Technicians and managers start at the bench, everybody else at the desk."""
    roles = {row.role for row in access.memberships(person(request))}
    if not roles:
        return render(request, "accounts/nowhere.html", {"page_title": "No organisation yet"})
    return redirect("bench" if roles & set(access.BENCH_ROLES) else "desk")
