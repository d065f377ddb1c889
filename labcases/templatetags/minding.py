"""What is minded for people at a step, as a part of its page."""

from typing import Any

from django import template

from labcases.reference import safety

register = template.Library()


@register.inclusion_tag("parts/_for_safety.html")
def for_safety(at: str) -> dict[str, Any]:
    """What is minded at one of ``safety.PLACES``, after what goes before all of it."""
    return {"first": safety.first(), "rows": safety.at(at)}
