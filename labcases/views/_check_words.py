"""Answers of checklists as the history tells them: counted where all is well, named where not."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from labcases.domain.tryin_numbers import closing_words
from labcases.reference.checklists import line_texts

COUNTED = ("ok", "yes")
#: Columns that hold one value a line of a checklist.
COLUMNS = ("answers", "words")


def is_of_lines(label: str, after: Any) -> bool:
    return label in COLUMNS and isinstance(after, Mapping) and set(after) <= set(line_texts())


def of_lines(label: str, before: Any, after: Mapping[str, str]) -> str:
    """What changed of the answers to a checklist, or of the words beside them."""
    earlier = before if isinstance(before, Mapping) else {}
    changed = {key: after.get(key, "") for key in {**earlier, **after}}
    changed = {key: given for key, given in changed.items() if given != earlier.get(key, "")}
    if label == "words":
        return "; ".join(
            f'{line_texts().get(key, key)}: "{given}"' for key, given in changed.items() if given
        )
    counts = {answer: list(changed.values()).count(answer) for answer in COUNTED}
    said = [
        f"{count} {'line' if count == 1 else 'lines'} {answer}"
        for answer, count in counts.items()
        if count
    ]
    said += [
        f"{given or 'no answer any more'} to {line_texts().get(key, key)}"
        for key, given in changed.items()
        if given not in COUNTED
    ]
    return "; ".join(said)


def is_centric(label: str, after: Any) -> bool:
    return label == "centric" and isinstance(after, list)


def of_centric(after: list[list[str]]) -> str:
    return f"centric {', '.join(closing_words(pair) for pair in after)}" if after else ""
