"""The signature under a revision, line by line."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from labcases.domain import on_paper
from labcases.models import Prescription
from labcases.templatetags.units import long_date, long_time

SHORT_DIGEST = 16
"""As many of the 64 characters as a paper prints."""


def signature(row: Prescription) -> list[dict[str, Any]]:
    """Who signed, by log-in or on paper, when, and the digest of what was signed."""
    if row.signed_at is None:
        return []
    when = long_time(row.signed_at)
    paper = on_paper.of_revision(row)
    if paper:
        return [
            {
                "label": "Signed",
                "value": f"on paper, page on file: {paper.signed_name}",
                "url": reverse("signed_paper", args=[row.case.code, paper.pk]),
                "link": "See the page",
            },
            {"label": "Licence number on the paper", "value": paper.licence_number},
            {"label": "Day on the paper", "value": long_date(paper.signed_on)},
            {"label": "Typed by", "value": f"{paper.typed_by}, {long_time(paper.typed_at)}"},
            {"label": "Confirmed by", "value": f"{paper.confirmed_by}, {when}"},
            {"label": "Digest of the signed answers", "value": row.digest[:SHORT_DIGEST]},
        ]
    return [
        {"label": "Signed by", "value": row.signed_name},
        {"label": "Licence number", "value": row.licence_number},
        {"label": "Signed", "value": when},
        {"label": "Digest of the signed answers", "value": row.digest[:SHORT_DIGEST]},
    ]
