"""Sending the reminders of one person: the task that a worker does, or the command itself."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from django_tasks import task

from labcases.domain import outbox, reminders
from labcases.enums.reminders import MailKind
from labcases.models import User
from labcases.outputs import reminder_mail
from labcases.outputs.reminder_mail import Mail

# Which mail left, to whom by number: what it said is written nowhere.
log = logging.getLogger(__name__)


@task
def remind_person(user_pk: int) -> dict[str, int]:
    """Send what there is to say to one person now, and count what left.

    Doing it twice, or twice at once, sends nothing twice (``domain/outbox.py``).
    """
    user = User.objects.filter(pk=user_pk).first()
    told = {"left": 0, "refused": 0, "unknown": 0}
    if user is None or not outbox.is_on() or not reminders.may_get(user):
        return told
    for kind, key, mail, day in _mails(user):
        row = outbox.claim(user=user, kind=kind, key=key, day=day, host=reminder_mail.host())
        if row is None:
            continue
        try:
            left = outbox.deliver(row=row, subject=mail.subject, text=mail.text)
        except Exception:
            # It may be gone or not: the row says so, and the other mails go on.
            log.exception("mail %s to person %s: not known whether it left", row.pk, user.pk)
            told["unknown"] += 1
            continue
        told["left" if left else "refused"] += 1
        log.info("mail %s to person %s: %s", row.pk, user.pk, "left" if left else "refused")
    return told


def texts(user: User) -> list[Mail]:
    """What there is to say to a person, whatever hour it is and whatever left already."""
    found = reminders.of(user, any_time=True)
    mails = [reminder_mail.urgent(one) for one in found.urgent]
    return [*mails, reminder_mail.digest(found.digest)] if found.digest else mails


def _mails(user: User) -> Iterator[tuple[MailKind, str, Mail, date]]:
    """Each mail as it stands at the moment before it leaves."""
    today = reminders.day_of(user)
    found = reminders.of(user)
    for one in found.urgent:
        if said := reminders.still(one.said):
            now = replace(one, said=tuple(said))
            yield MailKind.URGENT, one.key, reminder_mail.urgent(now), today
    if found.digest and (digest := reminders.digest_now(found.digest)):
        yield MailKind.DIGEST, digest.key, reminder_mail.digest(digest), today
