"""What one entry of the history is chained by: a fixed spelling of it, and its digest.

Plain functions without imports of models, so that a migration may use them for ever.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

START = "0" * 64
"""What stands in place of a digest before the first entry of a laboratory."""


def digest(
    *,
    previous: str,
    sequence: int,
    case: str,
    at: datetime,
    by: int,
    position: str,
    act: str,
    part: str,
    changes: Mapping[str, Any],
    reason: str,
    row: Mapping[str, Any] | None = None,
) -> str:
    """SHA-256 over the digest of the entry before and the fixed spelling of this one.

    Parameters
    ----------
    previous : str
        Digest of the entry before, ``START`` for the first of a laboratory.
    sequence : int
        Number of the entry in its laboratory, from 1 without gaps.
    case, at, by, position, act, part, changes, reason
        What the entry says: the code of its case, when, the key of the person, and words.
    row : mapping, optional
        What an undo starts from. Entries without it have the digest that they had before
        entries kept it.
    """
    told = {
        "sequence": sequence,
        "case": case,
        "at": at.astimezone(UTC).isoformat(timespec="microseconds"),
        "by": by,
        "position": position,
        "act": act,
        "part": part,
        "changes": _plain(json.loads(json.dumps(changes))),
        "reason": reason,
        **({"row": _plain(json.loads(json.dumps(row)))} if row else {}),
    }
    spelled = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(f"{previous}\n{spelled}".encode("ascii")).hexdigest()


def _plain(value: Any) -> Any:
    """JSON as every database gives it back: one that keeps numbers as decimals drops exponents."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_plain(one) for one in value]
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value
