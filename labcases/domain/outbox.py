"""Mail goes once: its row is written and committed before it leaves.

What is ended between the two leaves a row "leaving", of which nobody knows whether the mail is
gone. It is told, and never sent again by itself: what it said stands in the next digest as well,
and a desk that gets everything twice stops reading. A person may say that it did not leave
(``assume_not_sent``); it then goes once more with the same Message-ID, by which mail programs
that look know it again. A mail that the server refused did not leave, and is tried with the next
run, five times in all.
"""

from __future__ import annotations

import secrets
import smtplib
import socket
from collections.abc import Iterable
from datetime import date, timedelta

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from labcases.enums.reminders import MailKind, MailState
from labcases.models import Reminder, User

MOST_TRIES = 5
UNDER_WAY = timedelta(minutes=10)
"""A row that leaves for longer than this was left behind; a mail server answers sooner."""
TOLD_DAYS = 7
"""How long a row that was left behind is told of (both common practice, no source)."""

# Errors after which a mail is known not to have been taken.
NOT_TAKEN = (
    smtplib.SMTPResponseException,
    smtplib.SMTPRecipientsRefused,
    smtplib.SMTPNotSupportedError,
    ConnectionRefusedError,
    socket.gaierror,
)


def is_on() -> bool:
    """Whether mail goes anywhere from here."""
    return bool(settings.EMAIL_BACKEND)


def claim(*, user: User, kind: MailKind, key: str, day: date, host: str) -> Reminder | None:
    """Write that a mail leaves now; nothing where it did, or where somebody else sends it.

    Committed when this returns. A digest of the day after says that the clock was set back: the
    day had its digest.
    """
    if kind == MailKind.DIGEST and _sent_for(user, day + timedelta(days=1)):
        return None
    now = timezone.now()
    with transaction.atomic(durable=True):
        row, made = Reminder.objects.get_or_create(
            user=user,
            kind=kind,
            key=key,
            defaults={
                "day": day,
                "message_id": f"<{secrets.token_hex(16)}@{host}>",
                "leaving_at": now,
            },
        )
        if made:
            return row
        taken = Reminder.objects.filter(
            pk=row.pk, state=MailState.REFUSED, tries__lt=MOST_TRIES
        ).update(state=MailState.LEAVING, leaving_at=now, tries=F("tries") + 1)
    return row if taken else None


def _sent_for(user: User, day: date) -> bool:
    return Reminder.objects.filter(user=user, kind=MailKind.DIGEST, day=day).exists()


def deliver(*, row: Reminder, subject: str, text: str) -> bool:
    """Send the mail of a row that was claimed, and say whether it left.

    Raises
    ------
    Exception
        Whatever else the way out of the house raises: the mail may be gone or not.
    """
    message = EmailMessage(
        subject,
        text,
        to=[row.user.email],
        headers={"Message-ID": row.message_id, "Auto-Submitted": "auto-generated"},
    )
    try:
        message.send()
    except NOT_TAKEN:
        _settle(row, MailState.REFUSED)
        return False
    _settle(row, MailState.SENT)
    return True


def _settle(row: Reminder, state: MailState) -> None:
    sent_at = timezone.now() if state == MailState.SENT else None
    Reminder.objects.filter(pk=row.pk).update(state=state, sent_at=sent_at)


def left_behind() -> list[Reminder]:
    """Mail of the last days of which nobody knows whether it left."""
    now = timezone.now()
    rows = Reminder.objects.filter(
        state=MailState.LEAVING, day__gte=timezone.localdate(now) - timedelta(days=TOLD_DAYS)
    )
    return [row for row in rows.select_related("user") if _is_left(row)]


def _is_left(row: Reminder) -> bool:
    # A clock that was set back leaves rows in the future.
    return abs(timezone.now() - row.leaving_at) >= UNDER_WAY


def assume_not_sent(rows: Iterable[Reminder]) -> int:
    """Somebody says that these mails did not leave: the next run sends what is still true."""
    return Reminder.objects.filter(pk__in=[row.pk for row in rows], state=MailState.LEAVING).update(
        state=MailState.REFUSED, tries=0
    )


def last_of(user: User, most: int = 10) -> list[Reminder]:
    """The last mails to a person, the newest first."""
    return list(Reminder.objects.filter(user=user)[:most])
