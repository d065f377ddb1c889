"""What some tests need beside Python packages, and the sentence a skip says without it.

Use the marks: `@needs.chromium`, `@needs.postgresql`, `@needs.pango`, `@needs.git`. Where CI=true
is set a skip counts as a failure (tests/conftest.py), so that a machine cannot quietly stop testing
something.
"""

import os
import shutil
from functools import cache
from pathlib import Path

import psycopg
import pytest

from labcases.pdf_support import pdf_problem

ROOT = Path(__file__).resolve().parent.parent


@cache
def chromium_path() -> str | None:
    """Return the browser of this machine: CHROMIUM, or the first known name on the path."""
    names = (os.environ.get("CHROMIUM"), "chromium", "chromium-browser", "google-chrome")
    return next((found for name in names if name and (found := shutil.which(name))), None)


@cache
def postgresql_url() -> str | None:
    """Return the address of a PostgreSQL server on which databases may be made, if one answers.

    TEST_POSTGRES_URL when set; otherwise the usual port of this machine, as a person without a
    password.
    """
    given = os.environ.get("TEST_POSTGRES_URL")
    candidates = (
        [given]
        if given
        else [f"postgresql://{user}@127.0.0.1:5432/postgres" for user in ("postgres", "root")]
    )
    for url in candidates:
        try:
            with psycopg.connect(url, connect_timeout=2) as connection:
                row = connection.execute(
                    "select rolcreatedb or rolsuper from pg_roles where rolname = current_user"
                ).fetchone()
        except psycopg.OperationalError:
            continue
        if row and row[0]:
            return url
    return None


chromium = pytest.mark.skipif(
    chromium_path() is None,
    reason="No Chromium here. `apt-get install chromium` brings it, or set CHROMIUM to its path.",
)
postgresql = pytest.mark.skipif(
    postgresql_url() is None,
    reason="No PostgreSQL answers on 127.0.0.1:5432. Start one that trusts this machine, or set"
    " TEST_POSTGRES_URL to one on which databases may be made.",
)
git = pytest.mark.skipif(
    shutil.which("git") is None or not (ROOT / ".git").exists(),
    reason="This is no git clone, or git is missing. `apt-get install git` brings it.",
)
pango = pytest.mark.skipif(pdf_problem() is not None, reason=str(pdf_problem()))
