"""Fixtures and rules that every test may rely on."""

import os
import shutil

import pytest
from django.db import connection
from django.test import TransactionTestCase
from django.test.utils import teardown_databases
from hypothesis import settings as hypothesis_settings

from labcases.models.guard import (
    guard_houses_statements,
    guard_statements,
    redaction_statements,
    unguard_houses_statements,
    unguard_statements,
)
from tests import databases, needs, remembered

# Hooks: pytest finds them here by their names.
from tests.skips import pytest_make_collect_report, pytest_runtest_makereport  # noqa: F401

# Playwright runs a loop of its own in the test's thread; Django would refuse the database there.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

# The same examples on every machine, and no time limit: a busy machine is not a failing test.
hypothesis_settings.register_profile(
    "project", database=None, deadline=None, derandomize=True, max_examples=50
)
hypothesis_settings.load_profile("project")


def pytest_collection_modifyitems(items):
    """Every test that opens a page needs the browser, whether it says so or not."""
    for item in items:
        if "page" in getattr(item, "fixturenames", ()):
            item.add_marker(needs.chromium)


@pytest.fixture(scope="session")
def django_db_setup(django_test_environment, django_db_modify_db_settings, django_db_blocker):
    """The plug-in's own fixture of this name makes every process run every migration."""
    with django_db_blocker.unblock():
        made = databases.put_in_place()
    yield
    with django_db_blocker.unblock():
        teardown_databases(made, verbosity=0)


@pytest.fixture(autouse=True)
def _media_folder(settings, tmp_path):
    """Photographs and scans of a test go to a folder of its own."""
    settings.MEDIA_ROOT = tmp_path / "media"


@pytest.fixture(autouse=True)
def _state_of_the_database_is_not_known():
    remembered.forget()


@pytest.fixture(scope="session", autouse=True)
def _history_guard_steps_aside_while_a_database_is_emptied():
    """A transactional test ends with an emptied database, which the guard would refuse.

    It is lifted for that moment only, so that it stands in every test.
    """
    empty = TransactionTestCase._fixture_teardown

    def run(statements):
        with connection.cursor() as cursor:
            for statement in statements:
                cursor.execute(statement)

    def empty_without_guard(self):
        run(unguard_statements(connection.vendor))
        run(unguard_houses_statements(connection.vendor))
        try:
            empty(self)
        finally:
            run(guard_statements(connection.vendor))
            run(redaction_statements(connection.vendor))
            run(guard_houses_statements(connection.vendor))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", empty_without_guard)
        yield


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    """Drive the system's Chromium; a browser build is never downloaded."""
    # No page draws on a graphics card, and drawing one in software costs more than the tests.
    arguments = ["--disable-gpu", "--disable-background-networking", "--no-first-run"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        arguments.append("--no-sandbox")
    return {
        **browser_type_launch_args,
        "executable_path": needs.chromium_path(),
        "args": arguments,
    }


@pytest.fixture
def watched(page):
    """A page on which errors, refusals by the Content-Security-Policy and outside requests fail."""
    complaints = []

    def note_console(message):
        if message.type == "error":
            complaints.append(message.text)

    def note_request(request):
        if request.url.startswith("http") and "localhost" not in request.url:
            complaints.append(f"asked for {request.url}")

    page.on("console", note_console)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("request", note_request)
    yield page
    assert complaints == []


def pytest_unconfigure(config):
    """Leave nothing of the run's own folders behind."""
    shutil.rmtree(config.rootpath / ".hypothesis", ignore_errors=True)
