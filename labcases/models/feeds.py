"""Calendar feeds of a person, and what each of them has told of every entry."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone

from labcases.enums.feeds import EntryStatus, FeedKind
from labcases.models.people import Organisation


class CalendarFeed(models.Model):
    """Dates under an address that asks for no login; only a digest of its token is stored."""

    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="calendar_feeds"
    )
    organisation = models.ForeignKey(
        Organisation, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    """The one house whose cases it holds; all of the person's where there is none."""
    called = models.CharField(max_length=40)
    kinds = models.JSONField(default=list)
    token_digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_fetched_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("-pk",)

    def __str__(self) -> str:
        return self.called


class FeedEntry(models.Model):
    """One entry as the feed told it last: what the next number of its changes is counted from.

    It points to no case. What it says is a code, words of the trade and a day.
    """

    feed = models.ForeignKey(CalendarFeed, on_delete=models.CASCADE, related_name="entries")
    uid = models.CharField(max_length=100)
    kind = models.CharField(max_length=20, choices=FeedKind)
    summary = models.CharField(max_length=120)
    on = models.DateField()
    status = models.CharField(max_length=12, choices=EntryStatus)
    sequence = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ("on", "uid")
        constraints = (
            models.UniqueConstraint(fields=("feed", "uid"), name="one_entry_per_feed_and_uid"),
        )

    def __str__(self) -> str:
        return self.uid
