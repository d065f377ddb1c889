"""Words go from entries, and a later entry says which and what is left."""

import pytest

from labcases.domain import chain, redacting
from labcases.models import HistoryEntry
from tests.factories import world

pytestmark = pytest.mark.django_db


def less(entry: HistoryEntry) -> dict[str, object]:
    return {"changes": entry.changes, "reason": "", "row": entry.row}


def test_an_entry_that_loses_nothing_is_not_named():
    here = world()
    case = here.walk().case
    assert redacting.redact(case=case, by=here.dora, left=less, why="test") is None
    assert case.history.count() == 1


def test_the_last_entry_that_says_so_counts():
    told = [
        (5, "erasure", "redacted", {"redacted": {"1": "a", "2": "b"}}),
        (6, "erasure", "asked for", {"redacted": {"1": "x"}}),
        (9, "erasure", "redacted", {"redacted": {"2": "c", "12": "later than itself"}}),
    ]
    assert redacting.digests(told) == {1: "a", 2: "c"}


def test_a_second_redaction_verifies_as_well():
    here = world()
    case = here.walk().case
    HistoryEntry(case=case, by=here.dora, act="noted", part="x", reason="one two").save()
    for words in ("one", ""):
        entry = redacting.redact(
            case=case,
            by=here.dora,
            left=lambda row, words=words: {
                "changes": row.changes,
                "reason": words if row.reason else "",
                "row": row.row,
            },
            why="test",
        )
        assert entry.changes == {"entries": [None, "2"]}
        assert chain.walk(here.laboratory).broken is None
    assert HistoryEntry.objects.get(act="noted").reason == ""
