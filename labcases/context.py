"""What every template may know beside its own context."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from labcases.bench_sessions import begun_at_bench
from labcases.domain import access
from labcases.models import Membership


def demo(request: HttpRequest) -> dict[str, bool]:
    """`demo` is true on a demonstration, whose screens and papers say so."""
    return {"demo": settings.DEMO}


@dataclass(frozen=True)
class Place:
    """One entry of the navigation."""

    label: str
    url: str
    current: bool


def places(request: HttpRequest) -> dict[str, Any]:
    """`who` is logged in, and `nav_items`, the places that are theirs."""
    user = getattr(request, "user", None)
    device = getattr(request, "bench_device", None)
    if user is None or not user.is_authenticated:
        return {"bench_device": device}
    rows = access.memberships(user)
    return {
        "nav_items": [
            Place(label, url, current=url == request.path)
            for label, url in _items(rows, by_password=not begun_at_bench(request))
        ],
        "bench_device": device,
        "who": {
            "name": user.full_name,
            "initials": user.initials,
            "role": _listed([row.get_role_display() for row in rows]) or "No role",
            "organisation": _listed([row.organisation.name for row in rows])
            or "no organisation yet",
        },
    }


def _items(rows: list[Membership], *, by_password: bool) -> list[tuple[str, str]]:
    if not rows:
        return []
    found = [("Desk", reverse("desk")), ("Cases", reverse("cases"))]
    at_the_bench = any(
        row.organisation.is_laboratory and row.role in access.LABORATORY_ROLES for row in rows
    )
    if at_the_bench:
        found.insert(0, ("Bench", reverse("bench")))
    if not by_password:
        return found
    houses = {row.organisation_id: row.organisation for row in rows}
    return found + [
        (house.name, reverse("organisation", args=[house.pk])) for house in houses.values()
    ]


def _listed(words: list[str]) -> str:
    """Each word once: "Laboratory manager, Technician"."""
    return ", ".join(dict.fromkeys(words))
