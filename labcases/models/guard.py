"""SQL that makes the history append-only, for both database engines.

Plain text without imports of models, so that a migration may use it for ever.
"""

from __future__ import annotations

from collections.abc import Iterable

TABLE = "labcases_historyentry"
HEADS = "labcases_chainhead"
HOUSES = "labcases_houseentry"
_ABORT = "BEGIN SELECT RAISE(ABORT, 'history is append-only'); END"
_HEAD_ABORT = "BEGIN SELECT RAISE(ABORT, 'the head of a history only goes forward'); END"

# INSERT OR REPLACE takes the old row away without a delete trigger being asked, whichever key it
# meets; the triggers before an insert look at each of them.
_SQLITE_ENTRIES = (
    f"CREATE TRIGGER {TABLE}_no_update BEFORE UPDATE ON {TABLE} {_ABORT}",
    f"CREATE TRIGGER {TABLE}_no_delete BEFORE DELETE ON {TABLE} {_ABORT}",
    f"CREATE TRIGGER {TABLE}_no_replace BEFORE INSERT ON {TABLE} "  # noqa: S608  (TABLE is fixed)
    f"WHEN EXISTS (SELECT 1 FROM {TABLE} WHERE id = NEW.id) {_ABORT}",
)
_SQLITE_CHAIN = (
    f"CREATE TRIGGER {TABLE}_no_second BEFORE INSERT ON {TABLE} "  # noqa: S608  (TABLE is fixed)
    f"WHEN EXISTS (SELECT 1 FROM {TABLE} WHERE laboratory_id = NEW.laboratory_id "
    f"AND sequence = NEW.sequence) {_ABORT}",
    f"CREATE TRIGGER {HEADS}_no_jump BEFORE UPDATE ON {HEADS} "
    f"WHEN NEW.sequence <> OLD.sequence + 1 OR NEW.laboratory_id <> OLD.laboratory_id "
    f"{_HEAD_ABORT}",
    f"CREATE TRIGGER {HEADS}_no_delete BEFORE DELETE ON {HEADS} {_HEAD_ABORT}",
    f"CREATE TRIGGER {HEADS}_no_replace BEFORE INSERT ON {HEADS} "  # noqa: S608  (HEADS is fixed)
    f"WHEN EXISTS (SELECT 1 FROM {HEADS} WHERE id = NEW.id "
    f"OR laboratory_id = NEW.laboratory_id) {_HEAD_ABORT}",
)
_POSTGRESQL_ENTRIES = (
    f"CREATE OR REPLACE FUNCTION {TABLE}_refuse() RETURNS trigger AS $$ "
    "BEGIN RAISE EXCEPTION 'history is append-only'; END $$ LANGUAGE plpgsql",
    f"CREATE TRIGGER {TABLE}_no_change BEFORE UPDATE OR DELETE ON {TABLE} "
    f"FOR EACH ROW EXECUTE FUNCTION {TABLE}_refuse()",
    f"CREATE TRIGGER {TABLE}_no_truncate BEFORE TRUNCATE ON {TABLE} "
    f"FOR EACH STATEMENT EXECUTE FUNCTION {TABLE}_refuse()",
)
_POSTGRESQL_CHAIN = (
    f"CREATE OR REPLACE FUNCTION {HEADS}_refuse() RETURNS trigger AS $$ "
    "BEGIN RAISE EXCEPTION 'the head of a history only goes forward'; END $$ LANGUAGE plpgsql",
    f"CREATE TRIGGER {HEADS}_no_jump BEFORE UPDATE ON {HEADS} FOR EACH ROW "
    "WHEN (NEW.sequence <> OLD.sequence + 1 OR NEW.laboratory_id <> OLD.laboratory_id) "
    f"EXECUTE FUNCTION {HEADS}_refuse()",
    f"CREATE TRIGGER {HEADS}_no_delete BEFORE DELETE ON {HEADS} "
    f"FOR EACH ROW EXECUTE FUNCTION {HEADS}_refuse()",
    f"CREATE TRIGGER {HEADS}_no_truncate BEFORE TRUNCATE ON {HEADS} "
    f"FOR EACH STATEMENT EXECUTE FUNCTION {HEADS}_refuse()",
)

_SQLITE_HOUSES = (
    f"CREATE TRIGGER {HOUSES}_no_update BEFORE UPDATE ON {HOUSES} {_ABORT}",
    f"CREATE TRIGGER {HOUSES}_no_delete BEFORE DELETE ON {HOUSES} {_ABORT}",
    f"CREATE TRIGGER {HOUSES}_no_replace BEFORE INSERT ON {HOUSES} "  # noqa: S608  (HOUSES is fixed)
    f"WHEN EXISTS (SELECT 1 FROM {HOUSES} WHERE id = NEW.id) {_ABORT}",
)
_POSTGRESQL_HOUSES = (
    f"CREATE OR REPLACE FUNCTION {HOUSES}_refuse() RETURNS trigger AS $$ "
    "BEGIN RAISE EXCEPTION 'history is append-only'; END $$ LANGUAGE plpgsql",
    f"CREATE TRIGGER {HOUSES}_no_change BEFORE UPDATE OR DELETE ON {HOUSES} "
    f"FOR EACH ROW EXECUTE FUNCTION {HOUSES}_refuse()",
    f"CREATE TRIGGER {HOUSES}_no_truncate BEFORE TRUNCATE ON {HOUSES} "
    f"FOR EACH STATEMENT EXECUTE FUNCTION {HOUSES}_refuse()",
)


# What an erasure may take out of an entry, and nothing else: the words of an entry that the head of
# the chain names, with the digest of what is left of it, as redacted. The next entry shuts this.
REDACTION = ("erasure", "redacted")
_KEPT = (
    *("id", "case_id", "at", "by_id", "position", "act", "part"),
    *("laboratory_id", "sequence", "previous", "digest"),
)


def _redacted(same: str, named: str) -> str:
    """The condition under which an entry may lose words, in the words of one engine."""
    part, act = REDACTION
    kept = " AND ".join(f'NEW."{column}" {same} OLD."{column}"' for column in _KEPT)
    return (
        f"{kept} AND EXISTS (SELECT 1 FROM {TABLE} AS told "  # noqa: S608  (TABLE is fixed)
        f"JOIN {HEADS} AS head ON head.laboratory_id = told.laboratory_id "
        f"AND head.sequence = told.sequence WHERE told.case_id = OLD.case_id "
        f"AND told.part = '{part}' AND told.act = '{act}' AND told.sequence > OLD.sequence "
        f"AND {named} IS NOT NULL)"
    )


_SQLITE_REDACTION = (
    f"DROP TRIGGER IF EXISTS {TABLE}_no_update",
    f"CREATE TRIGGER {TABLE}_no_update BEFORE UPDATE ON {TABLE} WHEN NOT ("
    + _redacted("IS", "json_extract(told.\"row\", '$.redacted.\"' || OLD.sequence || '\"')")
    + f") {_ABORT}",
)
_POSTGRESQL_REDACTION = (
    f"CREATE OR REPLACE FUNCTION {TABLE}_refuse() RETURNS trigger AS $$ BEGIN "
    "IF TG_OP = 'UPDATE' THEN IF "
    + _redacted("IS NOT DISTINCT FROM", "told.\"row\" -> 'redacted' ->> CAST(OLD.sequence AS text)")
    + " THEN RETURN NEW; END IF; END IF; "
    "RAISE EXCEPTION 'history is append-only'; END $$ LANGUAGE plpgsql",
)


def redaction_statements(vendor: str) -> Iterable[str]:
    """SQL that lets an erasure take words out of entries; run it on a guard that stands."""
    return _POSTGRESQL_REDACTION if vendor == "postgresql" else _SQLITE_REDACTION


def no_redaction_statements(vendor: str) -> Iterable[str]:
    """SQL that shuts that exception again."""
    if vendor == "postgresql":
        return _POSTGRESQL_ENTRIES[:1]
    return (f"DROP TRIGGER IF EXISTS {TABLE}_no_update", _SQLITE_ENTRIES[0])


def guard_entries_statements(vendor: str) -> Iterable[str]:
    """SQL that makes the table of entries append-only, for one database engine."""
    return _POSTGRESQL_ENTRIES if vendor == "postgresql" else _SQLITE_ENTRIES


def guard_statements(vendor: str) -> Iterable[str]:
    """The whole guard: of the entries, of their numbers, and of the heads of the chains."""
    if vendor == "postgresql":
        return (*_POSTGRESQL_ENTRIES, *_POSTGRESQL_CHAIN)
    return (*_SQLITE_ENTRIES, *_SQLITE_CHAIN)


def unguard_entries_statements(vendor: str) -> Iterable[str]:
    """SQL that lifts the guard of the entries alone."""
    return _dropped(guard_entries_statements(vendor), vendor)


def unguard_statements(vendor: str) -> Iterable[str]:
    """SQL that lifts the whole guard: for migrations, and for emptying test databases."""
    return _dropped(guard_statements(vendor), vendor)


def guard_houses_statements(vendor: str) -> Iterable[str]:
    """SQL that makes the history of houses append-only, for one database engine."""
    return _POSTGRESQL_HOUSES if vendor == "postgresql" else _SQLITE_HOUSES


def unguard_houses_statements(vendor: str) -> Iterable[str]:
    """SQL that lifts the guard of the history of houses."""
    return _dropped(guard_houses_statements(vendor), vendor)


def _dropped(statements: Iterable[str], vendor: str) -> Iterable[str]:
    for statement in statements:
        if statement.startswith("CREATE TRIGGER"):
            words = statement.split()
            on = f" ON {words[words.index('ON') + 1]}" if vendor == "postgresql" else ""
            yield f"DROP TRIGGER IF EXISTS {words[2]}{on}"
