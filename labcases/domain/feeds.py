"""Calendar feeds: who made one, and what it tells each time it is fetched.

An entry is a case code, words of the trade and a day. Nothing of a patient stands in it, and
nothing that somebody typed. Feeds follow RFC 5545 (read for UID, SEQUENCE, STATUS, DTSTAMP and
whole-day dates).
"""

from __future__ import annotations

import hashlib
import logging
import secrets
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.text import slugify

from labcases import codes
from labcases.domain import access, desk, notices, queries, review_state
from labcases.domain.queries import Line
from labcases.enums import AppointmentKind, AppointmentStatus
from labcases.enums.feeds import EntryStatus, FeedKind
from labcases.models import CalendarFeed, FeedEntry, Organisation, User

PAST_DAYS = 30
"""A day that lies further back leaves the feed (common practice, no source)."""
CANCELLED_DAYS = 30
"""How long a cancelled entry stays, so that every calendar takes it off (the same)."""
FETCHED_STEP = timedelta(minutes=15)
"""The row of a feed is written at most this often just to say when it was last fetched."""
MOST_FEEDS = 20

MONTHS = {1: 30, 3: 91, 6: 182, 12: 365}
"""How long a feed may last, in months, and the days that this means."""

_KIND_OF = {
    AppointmentKind.RECORDS: FeedKind.RECORDS,
    AppointmentKind.TRY_IN: FeedKind.TRY_IN,
    AppointmentKind.DELIVERY: FeedKind.DELIVERY,
    AppointmentKind.REVIEW: FeedKind.REVIEW,
}

# Which feed came and went: numbers only, and never a token.
log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Made:
    """A new feed and its token, which is shown once and stored nowhere."""

    feed: CalendarFeed
    token: str


def digest(token: str) -> str:
    """What is stored of a random token; it is too long to be guessed from it."""
    return hashlib.sha256(token.encode()).hexdigest()


def make(
    *,
    user: User,
    called: str,
    kinds: Collection[str],
    organisation: Organisation | None = None,
    months: int = 12,
) -> Made:
    """Make a feed with a token of 256 random bits.

    Raises
    ------
    ValueError
        No kind is chosen, the house is not the person's, or they have as many feeds as one may.
    """
    if not kinds or not set(kinds) <= set(FeedKind.values):
        raise ValueError("Choose at least one kind of date.")
    if organisation is not None and organisation not in access.organisations(user):
        raise ValueError("Choose one of your own houses, or all of them.")
    token = secrets.token_urlsafe(32)
    with transaction.atomic():
        User.objects.select_for_update().get(pk=user.pk)
        if len(of(user)) >= MOST_FEEDS:
            raise ValueError(f"You have {MOST_FEEDS} feeds. Stop one that nobody uses any more.")
        row = CalendarFeed.objects.create(
            user=user,
            organisation=organisation,
            called=called,
            kinds=[kind.value for kind in FeedKind if kind in kinds],
            token_digest=digest(token),
            expires_at=timezone.now() + timedelta(days=MONTHS[months]),
        )
    log.info("person %s made calendar feed %s", user.pk, row.pk)
    return Made(row, token)


def of(user: User) -> list[CalendarFeed]:
    """The feeds of a person that are not stopped, the newest first."""
    rows = CalendarFeed.objects.filter(user=user, revoked_at__isnull=True)
    return list(rows.select_related("organisation"))


def revoke(*, feed: CalendarFeed) -> None:
    """Stop a feed for good; its address answers like one that never was."""
    with transaction.atomic():
        CalendarFeed.objects.filter(pk=feed.pk, revoked_at__isnull=True).update(
            revoked_at=timezone.now()
        )
        FeedEntry.objects.filter(feed=feed).delete()
    log.info("person %s stopped calendar feed %s", feed.user_id, feed.pk)


def known(token: str) -> bool:
    """Whether there ever was a feed with this token: a stopped one is no guess."""
    return CalendarFeed.objects.filter(token_digest=digest(token)).exists()


def find(token: str) -> CalendarFeed | None:
    """The feed of a token, unless it is stopped or expired or its person may not log in."""
    return (
        CalendarFeed.objects.select_related("user", "organisation")
        .filter(
            token_digest=digest(token),
            revoked_at__isnull=True,
            expires_at__gt=timezone.now(),
            user__is_active=True,
        )
        .first()
    )


# -- what a feed tells ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Said:
    """An entry as it stands now."""

    kind: FeedKind
    summary: str
    on: date
    status: EntryStatus


def fetch(feed: CalendarFeed) -> list[FeedEntry]:
    """What the feed tells now: entries that stand, and those that were cancelled lately.

    What it told before is kept, so that SEQUENCE rises with each change of a day or a status. Of
    two that fetch at once one writes, and the other looks again at what is told now.
    """
    today = timezone.localdate()
    while True:
        held = _held(feed)
        wanted = _wanted(feed, today)
        changes = list(_changes(feed, wanted, held, today))
        if not changes:
            break
        # Planning many cases takes seconds: nobody else's writing waits for that.
        _write(feed, held, changes)
    _note_fetched(feed)
    since = timezone.now() - timedelta(days=CANCELLED_DAYS)
    return [
        row
        for row in held.values()
        if (row.changed_at >= since if row.status == EntryStatus.CANCELLED else row.uid in wanted)
    ]


def _note_fetched(feed: CalendarFeed) -> None:
    now, last = timezone.now(), feed.last_fetched_at
    if last is None or not timedelta(0) <= now - last < FETCHED_STEP:
        CalendarFeed.objects.filter(pk=feed.pk).update(last_fetched_at=now)


def _held(feed: CalendarFeed) -> dict[str, FeedEntry]:
    return {row.uid: row for row in FeedEntry.objects.filter(feed=feed)}


def _changes(
    feed: CalendarFeed, wanted: Mapping[str, Said], held: Mapping[str, FeedEntry], today: date
) -> Iterator[FeedEntry]:
    """Entries that differ from what was told last, as they are now."""
    now = timezone.now().replace(microsecond=0)
    for uid, said in wanted.items():
        row = held.get(uid)
        if row is None:
            yield FeedEntry(feed=feed, uid=uid, changed_at=now, **vars(said))
        elif (row.kind, row.summary, row.on, row.status) != (
            *(said.kind, said.summary),
            *(said.on, said.status),
        ):
            risen = (row.on, row.status) != (said.on, said.status)
            yield FeedEntry(
                pk=row.pk,
                feed=feed,
                uid=uid,
                sequence=row.sequence + risen,
                changed_at=now,
                **vars(said),
            )
    for uid, row in held.items():
        gone = uid not in wanted and row.status != EntryStatus.CANCELLED
        if gone and row.on >= today - timedelta(days=PAST_DAYS):
            yield FeedEntry(
                pk=row.pk,
                feed=feed,
                uid=uid,
                kind=row.kind,
                summary=row.summary,
                on=row.on,
                status=EntryStatus.CANCELLED,
                sequence=row.sequence + 1,
                changed_at=now,
            )


def _write(feed: CalendarFeed, seen: Mapping[str, FeedEntry], rows: list[FeedEntry]) -> None:
    """Keep what is told now, unless somebody else has told more since ``seen``."""
    with transaction.atomic():
        CalendarFeed.objects.select_for_update().get(pk=feed.pk)
        if _numbers(_held(feed)) != _numbers(seen):
            return
        FeedEntry.objects.bulk_create([row for row in rows if row.pk is None])
        FeedEntry.objects.bulk_update(
            [row for row in rows if row.pk is not None],
            ["kind", "summary", "on", "status", "sequence", "changed_at"],
            batch_size=100,
        )


def _numbers(held: Mapping[str, FeedEntry]) -> dict[str, tuple[int, str]]:
    return {uid: (row.sequence, row.summary) for uid, row in held.items()}


def _wanted(feed: CalendarFeed, today: date) -> dict[str, Said]:
    """Every entry that stands, by its UID."""
    lines = _lines(feed)
    told = {case.pk for case in notices.sendable([row.case for row in lines])}
    earliest = today - timedelta(days=PAST_DAYS)
    return {
        uid: said
        for row in lines
        if row.case.pk in told
        for uid, said in _of_case(row)
        if said.kind in feed.kinds and said.on >= earliest
    }


def _lines(feed: CalendarFeed) -> list[Line]:
    """The open cases of the feed, as its person may see them now."""
    lines = queries.open_lines(feed.user)
    one = feed.organisation_id
    if one is None:
        return lines
    offices, laboratories = access.houses(feed.user)
    return [
        row
        for row in lines
        if (row.case.office_id == one and one in offices)
        or (row.case.laboratory_id == one and one in laboratories)
    ]


def _of_case(row: Line) -> Iterator[tuple[str, Said]]:
    """The entries of one case, each under a UID that never changes."""
    case, code = row.case, codes.grouped(row.case.code)

    def named(kind: str, number: int) -> str:
        return f"{case.code}-{kind}-{number}@case-tracker"

    def said(kind: FeedKind, words: str, on: date, *, sure: bool = True) -> Said:
        status = EntryStatus.CONFIRMED if sure else EntryStatus.TENTATIVE
        return Said(kind, f"{code} {words}", on, status)

    if case.surgery_on:
        sure = case.surgery_confirmed_at is not None
        yield (
            named("surgery", case.pk),
            said(FeedKind.SURGERY, "Surgery", case.surgery_on, sure=sure),
        )
    for one in getattr(case, "live_appointments", []):
        kind = _KIND_OF[AppointmentKind(one.kind)]
        sure = one.status != AppointmentStatus.PROPOSED
        words = str(one.get_kind_display())
        yield named(slugify(one.kind), one.pk), said(kind, words, one.on, sure=sure)
    due = desk.next_review(row)
    if due and not review_state.booked(case, due):
        words = f"Review due: {due.review.words.lower()}"
        yield (
            named(f"review-due-{slugify(due.review.key)}", case.pk),
            said(FeedKind.REVIEW, words, due.on),
        )
    for latest in row.plan:
        if not latest.reached and not latest.optional:
            words = f"Latest day: {desk.LATEST_WORDS[latest.step]}"
            yield (
                named(f"latest-{slugify(latest.step)}", case.pk),
                said(FeedKind.LATEST, words, latest.on),
            )
