"""What is missing, as sentences with the link that mends each."""

from __future__ import annotations

from collections.abc import Iterable

from labcases.domain.gates import Missing
from labcases.models import Case
from labcases.views._lookup import link_to

LINKS = {
    "arrival": "Open the check on arrival",
    "bench_check": "Open the bench check",
    "box": "Open the boxes",
    "box_new": "Pack a box",
    "boxes": "Open the boxes",
    "case": "Open the case",
    "casts": "Open the casts",
    "check": "Open the clearance check",
    "dates": "Open the dates",
    "delivery": "Open the delivery",
    "files": "Open the photographs and papers",
    "final_wax": "Open the final wax",
    "handoff": "Open the handoff",
    "incidents": "Open the reports",
    "linked": "Open both arches",
    "mounting": "Open the mounting",
    "passes": "Open the grinding-in",
    "prescription": "Open the prescription",
    "processing": "Open the processing",
    "proposals": "Open the proposals",
    "questions": "Open the questions",
    "finishing": "Open the finishing",
    "release": "Open the release",
    "remake": "Open the remake",
    "remount": "Open the remount",
    "review_decide": "Decide about the denture",
    "reviews": "Open the reviews",
    "remount_check": "Open the remount checklist",
    "settings": "Open the settings",
    "setup": "Open the set-up log",
    "sign": "Sign the prescription",
    "sites": "Open the sites",
    "statement": "Open the device statement",
    "surgery": "Open the surgery",
    "teeth": "Open the teeth",
    "try_in": "Open the try-in",
    "wax_base": "Open the checklist for the base",
    "wax_teeth": "Open the checklist for the teeth",
}


def listed(case: Case, items: Iterable[Missing]) -> list[dict[str, str]]:
    """Rows for ``parts/_next.html``: text, url and the words of the link."""
    return [{"text": item.text, "url": link_to(case, item), "link": _words(item)} for item in items]


def _words(item: Missing) -> str:
    return "Take it off hold" if item.field == "hold" else LINKS[item.part]
