"""Answers that are a file: a table to keep, a paper to read."""

from __future__ import annotations

from django.http import HttpResponse

from labcases.outputs import csv_file


def table(content: bytes, name: str) -> HttpResponse:
    """A table, which the browser keeps under a name."""
    return _named(content, csv_file.CONTENT_TYPE, f'attachment; filename="{name}"')


def paper(document: bytes, name: str) -> HttpResponse:
    """A PDF, which the browser shows."""
    return _named(document, "application/pdf", f'inline; filename="{name}"')


def _named(content: bytes, kind: str, disposition: str) -> HttpResponse:
    return HttpResponse(content, content_type=kind, headers={"Content-Disposition": disposition})
