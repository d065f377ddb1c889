"""The one door to WeasyPrint: HTML in, PDF out, nothing fetched.

Imported inside the function, so that the application starts where the system
libraries are missing. While rendering no file is read and no connection opened
for an address in the document: only ``data:`` addresses are let through, and the
style sheet is handed over as text.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from django.conf import settings
from django.template.loader import render_to_string

from labcases.pdf_support import pdf_problem

PAPER_CSS = ("css/paper.css",)
SHEETS = {"A4": "A4", "Letter": "letter", "A5": "A5"}


class PdfOff(Exception):
    """This machine cannot make PDFs; the text names the missing packages."""


def paper_css() -> str:
    """The style sheet of all papers, as text."""
    root = Path(settings.BASE_DIR) / "static"
    return "\n".join((root / name).read_text(encoding="utf-8") for name in PAPER_CSS)


class TooSmall(Exception):
    """What belongs on a label does not go on it in letters that can be read."""


LETTERS_PT = (16.0, 13.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.5, 6.0, 5.5)
"""Sizes of letters on a label, the largest that goes first: common practice, no source."""
LABEL_MARGIN_MM = 1.5
MM_PER_PT = 25.4 / 72
CODE_LETTERS = 14
"""A case code with its hyphens, which stays on one line."""
DATE_LETTERS = 11
"""A date, which stays in one piece."""
EM = 0.64
"""Width of a letter, in its size: a little more than a letter of the two faces takes."""
GAP_MM = 1.5
FACTS_MM = 20
"""The least column that stands beside the code in squares; a narrower one goes below it."""


def label_rule(mm: tuple[int, int], letters_pt: float) -> str:
    """A page that is one label, with the letters and the code in squares that suit it.

    Letters are held down to what a date, or the table of a box, takes of the width: what is too
    long then breaks into the next line instead of running off the label.
    """
    inside_mm = mm[0] - 2 * LABEL_MARGIN_MM
    qr_mm = max(13.0, min(25.0, 0.4 * min(mm)))
    beside_mm = inside_mm - qr_mm - GAP_MM
    beside = beside_mm >= FACTS_MM
    code_pt = inside_mm / MM_PER_PT / (CODE_LETTERS * EM)
    date_pt = (beside_mm if beside else inside_mm) / MM_PER_PT / (DATE_LETTERS * EM)
    facts = f"margin-left: {qr_mm + GAP_MM}mm" if beside else "margin-left: 0; clear: left"
    box_pt = min(letters_pt, 0.11 * mm[0])
    sizes = {
        ".paper-label, .paper-label .paper-table, .paper-label .paper-code": box_pt,
        ".paper-label .small": 0.8 * box_pt,
        ".paper-label .paper-title, .paper-label .paper-patient, .paper-to": 1.1 * box_pt,
        ".paper-label .paper-case, .paper-to .paper-house": 1.3 * box_pt,
        ".paper-cast": min(letters_pt, date_pt),
        ".paper .paper-cast-code": min(1.4 * letters_pt, code_pt),
    }
    return "\n".join(
        (
            f"@page {{ size: {mm[0]}mm {mm[1]}mm; margin: {LABEL_MARGIN_MM}mm;"
            " @bottom-left { content: none } @bottom-right { content: none } }",
            "body { margin: 0 }",
            f".paper-qr, .paper-qr svg {{ width: {qr_mm}mm; height: {qr_mm}mm }}",
            ".paper-cast { width: auto; margin: 0; border: 0; padding: 0 }",
            ".paper-cast + .paper-cast { break-before: page }",
            f".paper-cast .paper-facts {{ {facts} }}",
            "" if beside else ".paper-cast .paper-facts span { display: inline }",
            ".paper-label .paper-case { white-space: normal }",
            *(f"{where} {{ font-size: {points:.2f}pt }}" for where, points in sizes.items()),
        )
    )


def render_label(
    *, template: str, context: dict[str, object], mm: tuple[int, int], labels: int
) -> bytes:
    """Labels as a PDF, a page each, in the largest letters with which each goes on its page.

    Parameters
    ----------
    template : str
        A template under ``outputs/``.
    context : dict
        What the screen version shows, too.
    mm : (int, int)
        Width and height of a label, in millimetres.
    labels : int
        How many labels the template makes.

    Raises
    ------
    PdfOff
        WeasyPrint cannot load its system libraries.
    TooSmall
        A label runs over even in the smallest letters.
    """
    source, sheet = _source(template, context)
    common = sheet(paper_css())
    for letters_pt in LETTERS_PT:
        rule = sheet(label_rule(mm, letters_pt))
        document = source.render(stylesheets=[common, rule], pdf_tags=True)
        if len(document.pages) == labels:
            rendered: bytes = document.write_pdf(pdf_tags=True)
            return rendered
    raise TooSmall


def page_rule(size: str) -> str:
    """The sheet's size; everything else about a page stands in the style sheet."""
    return f"@page {{ size: {SHEETS[size]}; }}"


def render_pdf(*, template: str, context: dict[str, object], size: str) -> bytes:
    """One paper as a PDF.

    Parameters
    ----------
    template : str
        A template under ``outputs/``.
    context : dict
        What the screen version of the paper shows, too.
    size : str
        ``A4``, ``Letter`` or ``A5``.

    Raises
    ------
    PdfOff
        WeasyPrint cannot load its system libraries.
    """
    source, sheet = _source(template, context)
    sheets = [sheet(paper_css()), sheet(page_rule(size))]
    rendered: bytes = source.write_pdf(stylesheets=sheets, pdf_tags=True)
    return rendered


def _source(template: str, context: dict[str, object]) -> tuple[Any, Callable[[str], Any]]:
    """A paper before its pages are made, and what makes a style sheet of a text for it."""
    problem = pdf_problem()
    if problem:
        raise PdfOff(problem)
    from weasyprint import CSS, HTML

    fetch = fetcher()
    html = render_to_string(template, context)
    source = HTML(string=html, url_fetcher=fetch, base_url=None)
    return source, lambda text: CSS(string=text, url_fetcher=fetch)


def fetcher() -> Any:
    """WeasyPrint's fetcher, narrowed to addresses that hold their own data."""
    from weasyprint.urls import URLFetcher

    return URLFetcher(allowed_protocols=["data"], allow_redirects=False)
