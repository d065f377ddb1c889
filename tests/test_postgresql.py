"""The tests marked `both_databases`, once more on PostgreSQL.

SQLite lets one writer in at a time and so hides lost updates that PostgreSQL shows.
"""

import os
import subprocess
import sys

from django.conf import settings

from tests import needs


@needs.postgresql
def test_marked_tests_pass_on_postgresql_too():
    if settings.DATABASES["default"]["ENGINE"].endswith("postgresql"):
        return  # this run is on PostgreSQL already, and runs them itself

    again = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-m", "both_databases", "--no-header"],
        cwd=settings.BASE_DIR,
        env={**os.environ, "DATABASE_URL": needs.postgresql_url()},
        capture_output=True,
        text=True,
        check=False,
    )

    assert again.returncode == 0, again.stdout[-4000:] + again.stderr[-2000:]
