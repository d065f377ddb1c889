"""Checks that Django runs at start and on `manage.py check`."""

from collections.abc import Sequence
from typing import Any

from django.apps import AppConfig
from django.core.checks import CheckMessage, Warning, register

from labcases.pdf_support import pdf_problem


@register()
def papers_can_be_printed(
    app_configs: Sequence[AppConfig] | None, **kwargs: Any
) -> list[CheckMessage]:
    """Warn when PDF papers are off, and name the packages that bring them."""
    problem = pdf_problem()
    if problem is None:
        return []
    return [
        Warning(
            "PDF papers are off; the pages still print from the browser.",
            hint=problem,
            id="labcases.W001",
        )
    ]
