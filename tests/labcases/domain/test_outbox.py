"""A mail leaves once: what is written before it, and what a run that was ended leaves behind."""

from __future__ import annotations

import os
import signal
import smtplib
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from threading import Barrier, Thread

import pytest
from django.core import mail
from django.db import connection
from django.utils import timezone

from labcases.domain import outbox
from labcases.enums.reminders import MailKind
from labcases.models import Reminder, User
from tests.factories import world

pytestmark = pytest.mark.django_db

ROOT = Path(__file__).resolve().parents[3]
DAY = date(2027, 3, 9)


@pytest.fixture
def farah():
    user = world().farah
    user.email = "farah@example.org"
    user.save()
    return user


def claim(user, kind=MailKind.DIGEST, key="2027-03-09", day=DAY):
    return outbox.claim(user=user, kind=kind, key=key, day=day, host="cases.example.org")


def deliver(row):
    return outbox.deliver(row=row, subject="1 thing to look at", text="Look at it.\n")


def states():
    return [(row.kind, row.key, row.state, row.tries) for row in Reminder.objects.order_by("pk")]


@pytest.fixture
def server(monkeypatch):
    """What the mail server answers with, where it is not pleased."""

    def answers(error):
        def refuse(_self, _messages):
            raise error

        name = "django.core.mail.backends.locmem.EmailBackend.send_messages"
        monkeypatch.setattr(name, refuse)

    return answers


def test_a_mail_is_written_before_it_leaves_and_leaves_once(farah):
    row = claim(farah)
    assert states() == [("digest", "2027-03-09", "leaving", 1)]
    assert claim(farah) is None

    assert deliver(row) is True

    assert claim(farah) is None
    assert states() == [("digest", "2027-03-09", "sent", 1)]
    (sent,) = mail.outbox
    assert sent.to == ["farah@example.org"]
    head = sent.message()
    assert head["Message-ID"] == row.message_id
    assert row.message_id.endswith("@cases.example.org>")
    assert head["Auto-Submitted"] == "auto-generated"


def test_another_day_another_person_and_another_kind_are_other_mails(farah):
    assert claim(farah)
    assert claim(farah, key="2027-03-10", day=date(2027, 3, 10))
    assert claim(farah, kind=MailKind.URGENT)
    assert claim(User.objects.get(username="dora"))


@pytest.mark.parametrize(
    "error",
    [
        smtplib.SMTPRecipientsRefused({"farah@example.org": (550, b"no such person")}),
        smtplib.SMTPDataError(451, b"later"),
        smtplib.SMTPAuthenticationError(535, b"no"),
        ConnectionRefusedError(111, "refused"),
    ],
)
def test_what_the_server_refused_is_tried_again_under_the_same_message_id(
    farah, server, error, monkeypatch
):
    row = claim(farah)
    with monkeypatch.context():
        server(error)
        assert deliver(row) is False
    assert states() == [("digest", "2027-03-09", "refused", 1)]

    again = claim(farah)

    assert (again.pk, again.message_id) == (row.pk, row.message_id)
    assert states() == [("digest", "2027-03-09", "leaving", 2)]
    assert claim(farah) is None


def test_after_five_times_it_is_given_up(farah, server):
    server(ConnectionRefusedError())
    for _n in range(5):
        deliver(claim(farah))

    assert claim(farah) is None
    assert states() == [("digest", "2027-03-09", "refused", 5)]


@pytest.mark.parametrize(
    "error",
    [RuntimeError("a fault of ours"), smtplib.SMTPServerDisconnected("gone"), TimeoutError()],
)
def test_where_it_may_be_gone_or_not_it_is_told_and_never_sent_again(farah, server, error):
    row = claim(farah)
    server(error)
    with pytest.raises(type(error)):
        deliver(row)

    assert states() == [("digest", "2027-03-09", "leaving", 1)]
    assert claim(farah) is None


def test_it_is_left_behind_after_ten_minutes_and_told_for_a_week(farah, monkeypatch):
    def at(moment):
        monkeypatch.setattr("django.utils.timezone.now", lambda: moment)

    began = datetime(2027, 3, 9, 8, 0, tzinfo=UTC)
    at(began)
    row = claim(farah)
    for later, told in (
        (timedelta(minutes=9), []),
        (timedelta(minutes=10), [row]),
        (timedelta(hours=-2), [row]),
        (timedelta(days=7), [row]),
        (timedelta(days=8), []),
    ):
        at(began + later)
        assert outbox.left_behind() == told


def test_who_says_that_it_did_not_leave_has_it_sent_once_more_under_its_message_id(farah):
    row = claim(farah)

    assert outbox.assume_not_sent([row]) == 1
    again = claim(farah)
    deliver(again)

    assert again.message_id == row.message_id
    assert outbox.assume_not_sent([row]) == 0
    assert states() == [("digest", "2027-03-09", "sent", 1)]


@pytest.mark.parametrize(
    ("day", "goes"),
    [
        (date(2027, 3, 8), False),  # set back over midnight
        (date(2027, 3, 9), False),
        (date(2027, 3, 10), True),
        (date(2028, 3, 9), True),
        (date(2027, 3, 7), True),
    ],
)
def test_a_day_that_the_clock_was_set_back_to_has_had_its_digest(farah, day, goes):
    claim(farah)

    assert bool(claim(farah, key=day.isoformat(), day=day)) is goes


@pytest.mark.django_db(transaction=True)
@pytest.mark.both_databases
def test_of_many_that_claim_at_once_one_gets_it(farah):
    together, got = Barrier(6), []

    def run():
        together.wait()
        got.append(claim(farah))
        connection.close()

    threads = [Thread(target=run) for _n in range(6)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()

    assert len(got) == 6
    assert sum(one is not None for one in got) == 1


KILLED = """
import os, signal, sys
import django
from django.conf import settings
settings.DATABASES["default"]["NAME"] = sys.argv[1]
settings.EMAIL_BACKEND = "django.core.mail.backends.console.EmailBackend"
django.setup()
from django.core.mail.backends.console import EmailBackend
from datetime import date
from labcases.domain import outbox
from labcases.models import User

def killed(self, messages):
    print("about to leave", flush=True)
    os.kill(os.getpid(), signal.SIGKILL)

EmailBackend.send_messages = killed
row = outbox.claim(user=User.objects.get(username="farah"), kind="digest", key="2027-03-09",
                   day=date(2027, 3, 9), host="cases.example.org")
outbox.deliver(row=row, subject="s", text="t")
"""


@pytest.mark.django_db(transaction=True)
def test_a_run_that_is_killed_between_the_two_leaves_a_row_and_no_second_mail(farah):
    name = connection.settings_dict["NAME"]
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(name)],
        cwd=ROOT,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (-signal.SIGKILL, "about to leave\n"), done.stderr

    assert states() == [("digest", "2027-03-09", "leaving", 1)]
    assert claim(farah) is None
    Reminder.objects.update(
        leaving_at=timezone.now() - timedelta(minutes=11), day=timezone.localdate()
    )
    assert [row.key for row in outbox.left_behind()] == ["2027-03-09"]
    assert mail.outbox == []
