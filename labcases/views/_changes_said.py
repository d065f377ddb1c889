"""What an entry of the history changed, in the words of the screen."""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import date, datetime
from typing import Any

from labcases.models import HistoryEntry
from labcases.templatetags.units import NO_BREAK, long_date, long_time
from labcases.views import _check_words
from labcases.views._history_labels import LABELS
from labcases.views._words import plain, split_unit

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_TIME = re.compile(r"\d{4}-\d{2}-\d{2}[ T]\d{2}:\d{2}:.*")
_NUMBER = re.compile(r"-?\d+\.\d+")
_DIGEST = re.compile(r"[0-9a-f]{64}")
MOST_POSITIONS = 8

#: Who and when stand at the head of every entry, or it is nothing to read.
_SAID_ALREADY = {
    "site": ("tooth",),
    "try-in": ("decided by", "decided at"),
    "teeth in hand": ("state", "ended why"),
    "bench check": ("done by", "done at"),
    # Keys of pictures and of lines of the log say nothing to a reader.
    "final wax": ("approved digest", "approved photographs", "approved trims"),
}


def value_said(value: Any) -> str:
    """A stored value in the words of the screen."""
    if not isinstance(value, str):
        return plain(value)
    # What somebody typed may look like a day and be none.
    with suppress(ValueError):
        if _DAY.fullmatch(value):
            return long_date(date.fromisoformat(value))
        if _TIME.fullmatch(value):
            return long_time(datetime.fromisoformat(value))
    if _NUMBER.fullmatch(value):
        return value.rstrip("0").rstrip(".")
    return "a new one" if _DIGEST.fullmatch(value) else value


def _change(label: str, before: Any, after: Any) -> str:
    label, unit = split_unit(label)
    label = LABELS.get(label, label)
    unit = f"{NO_BREAK}{unit}" if unit else ""
    if _check_words.is_of_lines(label, after):
        return _check_words.of_lines(label, before, after)
    if _check_words.is_centric(label, after):
        return _check_words.of_centric(after)
    if isinstance(after, dict):
        return _positions(label, before if isinstance(before, dict) else {}, after)
    if isinstance(after, bool):
        label = f"{label.removesuffix(':')}:"
    old, new = value_said(before), value_said(after)
    if not new:
        return f"{label} taken out, was {old}{unit}" if old else f"{label} emptied"
    return f"{label} {old}{unit} → {new}{unit}" if old else f"{label} {new}{unit}"


def _positions(label: str, before: dict[str, Any], after: dict[str, Any]) -> str:
    """Teeth whose mark changed; many of them as a number only."""
    changed = [key for key in after if before.get(key) != after[key]]
    if len(changed) > MOST_POSITIONS:
        return f"{label} at {len(changed)} positions"
    return f"{label}: " + ", ".join(
        f"{key} {before[key]} → {after[key]}" if before.get(key) else f"{key} {after[key]}"
        for key in changed
    )


def changes(entry: HistoryEntry) -> str:
    """Each change; without what the sentence says already."""
    said = _SAID_ALREADY.get("site" if entry.part.startswith("site ") else entry.part, ())
    told = (_change(label, *pair) for label, pair in entry.changes.items() if label not in said)
    return "; ".join(text for text in told if text)


def with_changes(text: str, entry: HistoryEntry) -> str:
    told = changes(entry)
    return f"{text}: {told}" if told else text
