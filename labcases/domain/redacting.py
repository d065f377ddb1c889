"""Taking words out of entries of the history for an erasure, so that the chain still verifies.

The digests that chain the entries stay. A later entry, chained itself, names each entry that
lost words and the digest of what is left of it; ``domain/chain.py`` takes that digest in place of
the first one. The database lets nothing else through (``models/guard.py``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from labcases.domain import history
from labcases.models import Case, HistoryEntry, User
from labcases.models.guard import REDACTION

PART, ACT = REDACTION
WORDS = ("changes", "reason", "row")
"""The columns of an entry that may lose words; who, when and what was done always stay."""

Words = Mapping[str, Any]


def redact(
    *, case: Case, by: User, left: Callable[[HistoryEntry], Words], why: str
) -> HistoryEntry | None:
    """Leave less in the entries of a case, and say so in an entry.

    Parameters
    ----------
    case : Case
        Whose entries.
    by : User
        On whose word.
    left : callable
        For an entry, what is left of its ``WORDS``. Entries of an erasure are not asked about.
    why : str
        The reason, which stands in the new entry.

    Returns
    -------
    HistoryEntry or None
        The entry that says so; nothing where no entry loses anything.
    """
    with history.turn(case):
        rows = HistoryEntry.objects.filter(case=case).exclude(part=PART).order_by("sequence")
        named: dict[str, str] = {}
        changed: list[tuple[int, Words]] = []
        for row in rows.select_related("case"):
            words = left(row)
            if all(getattr(row, name) == words[name] for name in WORDS):
                continue
            for name in WORDS:
                setattr(row, name, words[name])
            named[str(row.sequence)] = row.made_digest()
            changed.append((row.pk, words))
        if not named:
            return None
        entry = history.write(
            case=case,
            by=by,
            act="redacted",
            part="erasure",
            changes={"entries": [None, ", ".join(named)]},
            reason=why,
            row={"redacted": named},
        )
        # While this entry is the last of its chain, the guard lets the named ones lose words.
        for key, words in changed:
            HistoryEntry._base_manager.filter(pk=key).update(**words)
    return entry


def digests(entries: Iterable[tuple[int, str, str, Any]]) -> dict[int, str]:
    """Entry -> digest of what is left of it, by the last entry that says so.

    Parameters
    ----------
    entries : iterable of (sequence, part, act, row)
        In the order of their sequence.
    """
    found: dict[int, str] = {}
    for sequence, part, act, row in entries:
        if (part, act) == REDACTION and isinstance(row, dict):
            told = row.get("redacted", {})
            found |= {int(key): str(one) for key, one in told.items() if int(key) < sequence}
    return found
