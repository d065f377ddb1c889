"""The desk of a laboratory with thousands of open cases: `python -m tests.bench.desk [cases]`.

A tenth of the cases is open. What is measured is the time of the server for the whole desk beside
the emptiest page of the same person, in turns within one run, how many questions the desk asks of
the database, and how long planning every open case takes on one core. Each database has a process
of its own; PostgreSQL is asked where one answers.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

CASES = 100_000
OPEN = 10
"""One in so many is open."""
ROUNDS = 7
WORTH_A_SERVER = 5000
"""Below so many cases PostgreSQL is not asked: making its tables would take longest."""
EMPTY = "/password/"
"""A page of a signed-in person that shows nothing of any case."""
ADDRESSES = ("/desk/", "/desk/?show=late", "/desk/?month={month}")


def lines(rounds: int, cases: int = CASES) -> Iterator[str]:
    """What each database took, as lines to print."""
    from tests import needs  # noqa: PLC0415  (it asks for PostgreSQL when it is loaded)

    with tempfile.TemporaryDirectory(prefix="bench-desk-") as folder:
        yield from _told(f"sqlite:///{(Path(folder) / 'desk.sqlite3').as_posix()}", rounds, cases)
    url = needs.postgresql_url() if cases >= WORTH_A_SERVER else None
    if url is None:
        yield f"desk on PostgreSQL: none answers, or fewer than {WORTH_A_SERVER} cases are wanted"
        return
    yield from _on_postgresql(url, rounds, cases)


def _on_postgresql(url: str, rounds: int, cases: int) -> Iterator[str]:
    import psycopg  # noqa: PLC0415

    name = f"bench_desk_{os.getpid()}"
    with psycopg.connect(url, autocommit=True) as connection:
        connection.execute(f'create database "{name}"'.encode())
        try:
            parts = urlsplit(url)
            yield from _told(urlunsplit(parts._replace(path=f"/{name}")), rounds, cases)
        finally:
            connection.execute(f'drop database "{name}" with (force)'.encode())


def _told(url: str, rounds: int, cases: int) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.desk", str(cases), str(rounds)],
        env={**os.environ, "DATABASE_URL": url, "DJANGO_SETTINGS_MODULE": "tests.settings"},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.stdout.splitlines() if done.returncode == 0 else [done.stderr[-2000:]]


def measure(cases: int, rounds: int) -> Iterator[str]:
    """Build the cases in the database of this process, and say what it took."""
    from django.core.management import call_command  # noqa: PLC0415
    from django.db import connection  # noqa: PLC0415
    from django.test import Client  # noqa: PLC0415
    from django.test.utils import CaptureQueriesContext  # noqa: PLC0415
    from django.utils import timezone  # noqa: PLC0415

    from labcases.domain import replanning  # noqa: PLC0415
    from labcases.models import DeskRow  # noqa: PLC0415
    from tests.bench import many_cases  # noqa: PLC0415
    from tests.factories import world  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    here = world()
    many_cases.build(here, cases=cases, going=cases // OPEN)
    began, of_core = time.perf_counter(), time.process_time()
    replanning.remake()
    took, of_core = time.perf_counter() - began, time.process_time() - of_core
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("analyze")
    yield (
        f"desk on {connection.vendor}, {cases} cases, {cases // OPEN} open, "
        f"{DeskRow.objects.count()} rows kept"
    )
    yield f"  planning every open case and keeping it {took:8.2f} s, {of_core:.2f} s of one core"
    for name, user in (("laboratory", here.lena), ("office", here.farah)):
        client = Client()
        client.force_login(user)
        month = f"{timezone.localdate():%Y-%m}"
        for address in (one.format(month=month) for one in ADDRESSES):
            # The first answer of a session stores when it began.
            client.get(address)
            with CaptureQueriesContext(connection) as told:
                answer = client.get(address)
                asked = len(told)
            if answer.status_code != 200:
                raise ValueError(f"{address} answered {answer.status_code}.")
            page, empty = [], []
            for _round in range(rounds):
                page.append(_seconds(client, address))
                empty.append(_seconds(client, EMPTY))
            ratio = statistics.median(one / other for one, other in zip(page, empty, strict=True))
            yield (
                f"  {name:<10} {address:<22} {1000 * statistics.median(page):8.1f} ms, an empty "
                f"page {1000 * statistics.median(empty):.1f} ms, ratio {ratio:.1f}, "
                f"{asked} queries"
            )


def _seconds(client: object, address: str) -> float:
    began = time.perf_counter()
    client.get(address)  # type: ignore[attr-defined]
    return time.perf_counter() - began


if __name__ == "__main__":
    import django

    if "DATABASE_URL" not in os.environ:
        for told in lines(ROUNDS, int(sys.argv[1]) if len(sys.argv) > 1 else CASES):
            print(told, flush=True)
        raise SystemExit(0)
    django.setup()
    for told in measure(int(sys.argv[1]), int(sys.argv[2])):
        print(told, flush=True)
