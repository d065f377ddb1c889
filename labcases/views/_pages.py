"""Turning the pages of a list while its filters stay in the address."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.core.paginator import Page
from django.http import HttpRequest


@dataclass(frozen=True)
class Pager:
    """What ``parts/_pager.html`` shows."""

    earlier: str
    later: str
    shown: str


def pager(request: HttpRequest, page: Page[Any]) -> Pager | None:
    """Addresses of the neighbouring pages; nothing where one page holds everything."""
    if page.paginator.num_pages < 2:
        return None
    return Pager(
        earlier=_address(request, page.previous_page_number()) if page.has_previous() else "",
        later=_address(request, page.next_page_number()) if page.has_next() else "",
        shown=f"{page.start_index()} to {page.end_index()} of {page.paginator.count}",
    )


def _address(request: HttpRequest, number: int) -> str:
    asked = request.GET.copy()
    asked["page"] = str(number)
    return f"?{asked.urlencode()}"
