"""Eight processes save twenty shared cases through HTTP: each save is stored or answered.

Each saves so many times; ``SAVES=100`` in the environment makes it eight hundred saves a database,
which takes minutes.
"""

import http.client
import json
import os
import shutil
import socket
import subprocess
import sys
import time
import uuid
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import psycopg
import pytest

from tests import databases, needs

ROOT = Path(__file__).resolve().parents[2]
PROCESSES = 8
SAVES = int(os.environ.get("SAVES", "25"))


@pytest.fixture
def sqlite_address(tmp_path):
    return f"sqlite:///{(tmp_path / 'savers.sqlite3').as_posix()}"


@pytest.fixture
def postgresql_address():
    """A database of this test's own, dropped afterwards."""
    server = needs.postgresql_url()
    name = f"savers_{uuid.uuid4().hex[:12]}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"create database {name}")
    yield urlunsplit(urlsplit(server)._replace(path=f"/{name}"))
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"drop database {name} with (force)")


def environment(address, folder):
    return {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "labcases.settings",
        "DATABASE_URL": address,
        "DATA_DIR": str(folder),
        "DEBUG": "1",
        "SECRET_KEY": "for this test only, thrown away with its database, long enough",
    }


def run(arguments, env, told=""):
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        env=env,
        input=told,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-3000:]
    return done.stdout


def free_port():
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


@pytest.fixture
def served(tmp_path):
    """Starts the application on a database and answers where; stops it at the end."""
    started = []

    def serve(address):
        env = environment(address, tmp_path)
        if address.startswith("sqlite:") and databases.kept().exists():
            shutil.copyfile(databases.kept(), address.removeprefix("sqlite:///"))
        run(["manage.py", "migrate", "--verbosity", "0"], env)
        told = run(["-m", "tests.journeys.savers_world", "prepare"], env)
        port = free_port()
        with (tmp_path / "server.log").open("w") as log:
            server = subprocess.Popen(
                [
                    sys.executable,
                    *("-m", "gunicorn", "labcases.wsgi", "--workers", "2", "--threads", "4"),
                    *("--bind", f"127.0.0.1:{port}", "--log-level", "warning"),
                ],
                cwd=ROOT,
                env=env,
                stdout=log,
                stderr=log,
            )
        started.append(server)
        url = f"http://127.0.0.1:{port}"
        for _attempt in range(100):
            link = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
            try:
                link.request("GET", "/healthz")
                break
            except OSError:
                time.sleep(0.2)
            finally:
                link.close()
        return env, told, url

    yield serve
    for server in started:
        server.terminate()
        server.wait(timeout=20)


def eight_savers(served, address):
    env, told, url = served(address)
    savers = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.journeys.savers", url, str(seed), str(SAVES)],
            cwd=ROOT,
            env=env,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for seed in range(PROCESSES)
    ]
    for saver in savers:
        saver.stdin.write(told)
        saver.stdin.close()
        saver.stdin = None
    answers = [json.loads(saver.communicate(timeout=300)[0]) for saver in savers]
    held = json.loads(run(["-m", "tests.journeys.savers_world", "count"], env))
    stored = sum(answer["stored"] for answer in answers)
    both = sum(answer["both_values"] for answer in answers)
    print(f"{stored} stored, {both} answered with both values")
    assert [error for answer in answers for error in answer["errors"]] == []
    assert stored + both == PROCESSES * SAVES
    assert both > 0, "nobody met anybody: the test has not tested what it is for"
    assert held == {"history": stored, "versions": stored}


def test_eight_processes_on_sqlite_lose_nothing(served, sqlite_address):
    eight_savers(served, sqlite_address)


@needs.postgresql
def test_eight_processes_on_postgresql_lose_nothing(served, postgresql_address):
    eight_savers(served, postgresql_address)
