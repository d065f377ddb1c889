"""The one door to WeasyPrint: HTML in, PDF out, nothing fetched.

Imported inside the function, so that the application starts where the system
libraries are missing. While rendering no file is read and no connection opened
for an address in the document: only ``data:`` addresses are let through, and the
style sheet is handed over as text.
"""

from __future__ import annotations

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
    problem = pdf_problem()
    if problem:
        raise PdfOff(problem)
    from weasyprint import CSS, HTML

    fetch = fetcher()
    html = render_to_string(template, context)
    document = HTML(string=html, url_fetcher=fetch, base_url=None)
    sheets = [CSS(string=text, url_fetcher=fetch) for text in (paper_css(), page_rule(size))]
    rendered: bytes = document.write_pdf(stylesheets=sheets, pdf_tags=True)
    return rendered


def fetcher() -> Any:
    """WeasyPrint's fetcher, narrowed to addresses that hold their own data."""
    from weasyprint.urls import URLFetcher

    return URLFetcher(allowed_protocols=["data"], allow_redirects=False)
