"""What every template may know beside its own context."""

from django.conf import settings
from django.http import HttpRequest


def demo(request: HttpRequest) -> dict[str, bool]:
    """`demo` is true on a demonstration, whose screens and papers say so."""
    return {"demo": settings.DEMO}
