"""Status marks, icons and the small questions that the form templates ask of a field.

A status is always a shape, a word and a colour; the shapes stand here once, on a grid of
16, so that screen and paper draw the same ones.
"""

from collections.abc import Mapping
from typing import Any

from django import template
from django.forms import BoundField
from django.forms.boundfield import BoundWidget
from django.templatetags.static import static
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

register = template.Library()


def _solid(path: str) -> str:
    """Fill a shape with the colour of its status; in ink where no stylesheet reaches (a PDF)."""
    return f'<path class="solid" fill="currentColor" d="{path}"/>'


# name: (drawing, word)
GLYPHS: dict[str, tuple[str, str]] = {
    "waiting": ('<circle cx="8" cy="8" r="5.25" stroke-width="3"/>', "Waiting"),
    "on the bench": (_solid("M3 1.5v13L14.5 8z"), "On the bench"),
    "on hold": (_solid("M2.5 2h4v12h-4zM9.5 2h4v12h-4z"), "On hold"),
    "remake": (_solid("M6.2 1 1 8l5.2 7zM9.8 1 15 8l-5.2 7z"), "Remake"),
    "done": (
        _solid("M1.5 1.5h13v13h-13z")
        + '<path class="white" stroke="#fff" d="m4.5 8 2.6 3 4.6-6"/>',
        "Done",
    ),
    "late": ('<path d="M3 .5v15"/>' + _solid("M3 1.5h11.5L11 5.5l3.5 4H3z"), "Late"),
    "not yet": ('<path d="M3 8h10" stroke-width="2"/>', "Not yet"),
    "ended": (
        '<path d="M2.5 2.5h11v11h-11z"/><path d="m2.5 13.5 11-11" stroke-width="2"/>',
        "Ended",
    ),
    "stale": (
        '<path d="M13.5 8A5.5 5.5 0 1 1 8 2.5" stroke-dasharray="3 2" stroke-width="2"/>'
        '<path d="M8 4.5V8l3 2" stroke-width="1.5"/>',
        "Stale",
    ),
    "warning": ('<path d="M8 1.5 15 14.5H1z"/><path d="M8 6v4M8 11.5v1.5"/>', "Warning"),
    # What the clearance check says of a pair of cusps: two points that overlap, that may,
    # that meet, and two surfaces apart.
    "interference": (_solid("M8 .8 15.2 8 8 15.2.8 8z"), "Interference"),
    "interference possible": (
        '<path d="M8 2.2 13.8 8 8 13.8 2.2 8z" stroke-width="2.2"/><path d="M8 6.5v3"/>',
        "Interference possible",
    ),
    "contact": (_solid("M2.5 1.5h11L8 8zM2.5 14.5h11L8 8z"), "Contact"),
    "none predicted": (_solid("M1.5 2h13v3h-13zM1.5 11h13v3h-13z"), "None predicted"),
    "not asked": ('<path d="M2 8h2.5M6.8 8h2.5M11.5 8H14" stroke-width="2"/>', "Not asked"),
}


@register.simple_tag
def glyph_shape(name: str) -> SafeString:
    """Draw the shape of a status alone, where its word already stands in the line."""
    drawing, _ = GLYPHS[name]
    return mark_safe(  # noqa: S308 - the drawings above are literals
        f'<svg class="glyph glyph-{name.replace(" ", "-")}" viewBox="0 0 16 16" width="16"'
        ' height="16" fill="none" stroke="currentColor" aria-hidden="true" focusable="false">'
        f"{drawing}</svg>"
    )


@register.simple_tag
def glyph_drawing(name: str) -> SafeString:
    """Give the lines of a status alone, on a grid of 16, for use inside another drawing."""
    return mark_safe(GLYPHS[name][0])  # noqa: S308 - the drawings above are literals


@register.simple_tag
def glyph(name: str, word: str = "", *, late: bool = False) -> SafeString:
    """Draw a status: shape and word, with the flag of a late case after it when asked."""
    _, own_word = GLYPHS[name]
    drawn = format_html(
        '<span class="status status-{}">{}<span>{}</span></span>',
        name.replace(" ", "-"),
        glyph_shape(name),
        word or own_word,
    )
    if not late:
        return drawn
    return format_html('<span class="statuses">{} {}</span>', drawn, glyph("late"))


@register.simple_tag
def icon(name: str) -> SafeString:
    """Draw a bench object from the sprite; the text label must stand beside it."""
    return format_html(
        '<svg class="icon" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true"'
        ' focusable="false"><use href="{}#{}"></use></svg>',
        static("img/icons.svg"),
        name,
    )


@register.filter
def unit(field: BoundField) -> str:
    """Unit that stands behind a field's box: the widget's `data-unit`."""
    return str(field.field.widget.attrs.get("data-unit", ""))


@register.filter
def unit_in(attrs: Mapping[str, Any]) -> str:
    """Unit of one box among several, from the attributes of its own widget."""
    return str(attrs.get("data-unit", ""))


@register.filter
def widget_attr(field: BoundField, name: str) -> Any:
    """One attribute of a field's widget, or None."""
    return field.field.widget.attrs.get(name)


@register.filter
def is_asked(field: BoundField) -> bool:
    """Say whether a field that may be left empty for now is needed later (`data-needed`)."""
    return bool(field.field.widget.attrs.get("data-needed"))


@register.filter
def boxes(field: BoundField) -> list[BoundWidget]:
    """Boxes of a field that has several: day, month and year; right and left."""
    outer = field.subwidgets[0].data
    widget = field.field.widget
    return [
        BoundWidget(widget, data, field.form.renderer) for data in outer.get("subwidgets", [outer])
    ]


@register.filter
def box_label(box: BoundWidget) -> str:
    """Label of one box, from its widget's `data-label`."""
    attrs = box.data["attrs"]
    return str(attrs.get("data-label") or attrs.get("aria-label") or "")


@register.filter
def landing(field: BoundField) -> str:
    """Identifier that a link from the list of refusals lands on.

    A group of boxes has no input of its own, so the link goes to its first one.
    """
    if not field.use_fieldset:
        return field.id_for_label or field.auto_id
    inside = boxes(field) if "subwidgets" in field.subwidgets[0].data else field.subwidgets
    return str(inside[0].id_for_label) if inside else f"div_{field.auto_id}"
