"""`manage.py remind` at once, and by way of a worker."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.core import mail
from django.core.management import call_command
from django.db import connection
from django.utils import timezone

from labcases.models import Case, Reminder
from tests.factories import world

pytestmark = pytest.mark.django_db

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def here(settings):
    """A draft whose surgery is in three days: it waits for the office, at any hour."""
    settings.PUBLIC_URL = "https://cases.example.org"
    settings.DIGEST_HOUR = 0
    cast = world()
    cast.farah.email = "farah@example.org"
    cast.farah.save()
    cast.office.open_weekdays = "1234567"
    cast.office.save()
    cast.walk()
    Case.objects.update(surgery_on=timezone.localdate() + timedelta(days=3))
    return cast


def remind(*arguments):
    said, complained = StringIO(), StringIO()
    call_command("remind", *arguments, stdout=said, stderr=complained)
    return said.getvalue(), complained.getvalue()


def test_it_says_what_left_and_twice_is_as_good_as_once(here):
    assert remind() == ("1 person: 2 mails left.\n", "")
    assert remind() == ("1 person: 0 mails left.\n", "")
    assert len(mail.outbox) == 2


def test_it_shows_what_there_is_to_say_and_sends_nothing(here, settings):
    settings.DIGEST_HOUR = 23
    here.office.open_weekdays = "1"
    here.office.save()

    said, complained = remind("--show")

    assert said.startswith("To: farah\nSubject: Waits for you: case ")
    assert said.count("Subject: ") == 2
    assert "\nThe prescription is a draft: fill it in, sign and send it.\n" in said
    assert (complained, mail.outbox, Reminder.objects.count()) == ("", [], 0)


def test_where_nobody_wants_mail_or_none_goes_it_says_so(here, settings):
    here.farah.email = ""
    here.farah.save()
    assert remind()[0] == "Nobody wants mail.\n"

    settings.EMAIL_BACKEND = ""
    assert remind()[0] == (
        "No mail is sent from here: EMAIL_URL is not set. README.md says how to set it.\n"
    )


def test_what_a_run_left_behind_is_told_and_sent_only_where_somebody_says_so(here):
    remind()
    identity = mail.outbox[0].message()["Message-ID"]
    mail.outbox.clear()
    Reminder.objects.filter(kind="urgent").update(
        state="leaving", leaving_at=timezone.now() - timedelta(minutes=11)
    )

    said, complained = remind()
    assert said == "1 person: 0 mails left.\n"
    assert complained.startswith("Not known whether it left: urgent mail ")
    assert " to farah, " in complained
    assert "Run it with --again to send it." in complained
    assert mail.outbox == []

    assert remind("--again") == ("1 mail may go once more.\n1 person: 1 mail left.\n", "")
    assert [one.message()["Message-ID"] for one in mail.outbox] == [identity]
    assert remind() == ("1 person: 0 mails left.\n", "")


def test_a_refused_mail_goes_with_the_next_run(here, monkeypatch):
    with monkeypatch.context() as down:
        down.setattr(
            "django.core.mail.backends.locmem.EmailBackend.send_messages",
            lambda _self, _messages: (_ for _ in ()).throw(ConnectionRefusedError()),
        )
        assert remind()[0] == (
            "1 person: 0 mails left, 2 refused and tried again with the next run.\n"
        )

    assert remind()[0] == "1 person: 2 mails left.\n"


def test_a_task_that_fails_is_counted(here, monkeypatch):
    def fails(_user):
        raise RuntimeError("a fault of ours")

    monkeypatch.setattr("labcases.domain.reminders.of", fails)

    assert remind()[0] == "1 person: 0 mails left, and 1 person failed: the log says why.\n"


@pytest.mark.django_db(transaction=True)
def test_a_worker_sends_what_the_command_put_in_the_queue(here, tmp_path):
    if connection.vendor != "sqlite":
        return
    connection.close()
    file = tmp_path / "cases.sqlite3"
    shutil.copyfile(connection.settings_dict["NAME"], file)

    def manage(*arguments):
        return subprocess.run(
            [sys.executable, "manage.py", *arguments],
            cwd=ROOT,
            env={
                **{name: text for name, text in os.environ.items() if name != "DEMO"},
                "DJANGO_SETTINGS_MODULE": "labcases.settings",
                "DEBUG": "1",
                "DATA_DIR": str(tmp_path),
                "DATABASE_URL": f"sqlite:///{file}",
                "TASK_WORKER": "1",
                "DIGEST_HOUR": "0",
                "PUBLIC_URL": "https://cases.example.org",
            },
            capture_output=True,
            text=True,
            check=True,
        )

    manage("migrate", "django_tasks_database", "--verbosity=0")
    assert manage("remind").stdout == "1 person in the queue. `manage.py db_worker` sends.\n"
    assert manage("remind").stdout == "1 person in the queue. `manage.py db_worker` sends.\n"

    sent = manage("db_worker", "--batch").stdout

    assert sent.count("Subject: Waits for you: case ") == 1
    assert sent.count("things to look at") + sent.count("thing to look at") == 1
    assert "To: farah@example.org" in sent
    assert sent.count("https://cases.example.org/mail/") == 2
