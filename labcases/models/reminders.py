"""Mail that was decided: a row is written before its mail leaves."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from labcases.enums.reminders import MailKind, MailState


class Reminder(models.Model):
    """One mail to one person. Its text is not kept, and it points to no case.

    ``key`` says what it is about: the day of a digest; of an urgent mail the code of the case and
    since when the house is waited for. One row a person, kind and key, and so one mail.
    """

    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="reminders"
    )
    kind = models.CharField(max_length=10, choices=MailKind)
    key = models.CharField(max_length=60)
    day = models.DateField()
    message_id = models.CharField(max_length=200, unique=True)
    """The Message-ID of the mail, the same each time that it is tried."""
    state = models.CharField(max_length=10, choices=MailState, default=MailState.LEAVING)
    leaving_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveSmallIntegerField(default=1)

    class Meta:
        ordering = ("-pk",)
        constraints = (
            models.UniqueConstraint(
                fields=("user", "kind", "key"), name="one_mail_per_person_and_key"
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of {self.key}"
