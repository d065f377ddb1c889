"""SQL that makes the history table append-only, for both database engines.

Plain text without imports of models, so that a migration may use it for ever.
"""

from __future__ import annotations

from collections.abc import Iterable

TABLE = "labcases_historyentry"

_SQLITE = (
    f"CREATE TRIGGER {TABLE}_no_update BEFORE UPDATE ON {TABLE} "
    "BEGIN SELECT RAISE(ABORT, 'history is append-only'); END",
    f"CREATE TRIGGER {TABLE}_no_delete BEFORE DELETE ON {TABLE} "
    "BEGIN SELECT RAISE(ABORT, 'history is append-only'); END",
    # INSERT OR REPLACE takes the old row away without a delete trigger being asked.
    f"CREATE TRIGGER {TABLE}_no_replace BEFORE INSERT ON {TABLE} "  # noqa: S608  (TABLE is fixed)
    f"WHEN EXISTS (SELECT 1 FROM {TABLE} WHERE id = NEW.id) "
    "BEGIN SELECT RAISE(ABORT, 'history is append-only'); END",
)
_POSTGRESQL = (
    f"CREATE OR REPLACE FUNCTION {TABLE}_refuse() RETURNS trigger AS $$ "
    "BEGIN RAISE EXCEPTION 'history is append-only'; END $$ LANGUAGE plpgsql",
    f"CREATE TRIGGER {TABLE}_no_change BEFORE UPDATE OR DELETE ON {TABLE} "
    f"FOR EACH ROW EXECUTE FUNCTION {TABLE}_refuse()",
    f"CREATE TRIGGER {TABLE}_no_truncate BEFORE TRUNCATE ON {TABLE} "
    f"FOR EACH STATEMENT EXECUTE FUNCTION {TABLE}_refuse()",
)
_SQLITE_OFF = (
    f"DROP TRIGGER IF EXISTS {TABLE}_no_update",
    f"DROP TRIGGER IF EXISTS {TABLE}_no_delete",
    f"DROP TRIGGER IF EXISTS {TABLE}_no_replace",
)
_POSTGRESQL_OFF = (
    f"DROP TRIGGER IF EXISTS {TABLE}_no_change ON {TABLE}",
    f"DROP TRIGGER IF EXISTS {TABLE}_no_truncate ON {TABLE}",
)


def guard_statements(vendor: str) -> Iterable[str]:
    """SQL that makes the history table append-only, for one database engine."""
    return _POSTGRESQL if vendor == "postgresql" else _SQLITE


def unguard_statements(vendor: str) -> Iterable[str]:
    """SQL that lifts the guard: for the reverse migration and for emptying test databases."""
    return _POSTGRESQL_OFF if vendor == "postgresql" else _SQLITE_OFF
