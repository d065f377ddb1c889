"""What a person is reminded of: urgent, or once a day in a digest.

Nothing that somebody typed stands in it: codes, words of the trade and days only.
"""

from __future__ import annotations

import logging
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from django.conf import settings
from django.utils import timezone

from labcases.domain import (
    access,
    calendars,
    date_moves,
    desk,
    notices,
    open_days,
    queries,
    transit,
)
from labcases.domain.desk import Wait
from labcases.domain.queries import Line
from labcases.enums import Side
from labcases.enums.reminders import MailChoice
from labcases.models import Case, DateMove, User
from labcases.templatetags.units import due_date

URGENT_DAYS = 5
"""Working days of the house before surgery in which a wait is urgent (common practice, no
source)."""

# Who chose, by number: an address stands in the database only.
log = logging.getLogger(__name__)

# Questions and proposals say in words that people chose what they are about: one, and several.
_PLAIN = {
    "questions": ("A question is open.", "{} questions are open."),
    "proposals": ("A proposal to the dentist is open.", "{} proposals to the dentist are open."),
}


@dataclass(frozen=True)
class Said:
    """A line of a mail: which case, what, and the page that it is answered on."""

    case: Case
    what: str
    page: str = "case"


@dataclass(frozen=True)
class Urgent:
    """What waits for one house in one case since one moment, with surgery near."""

    case: Case
    since: datetime
    said: tuple[Said, ...]

    @property
    def key(self) -> str:
        return f"{self.case.code} {self.since:%Y%m%dT%H%M%S%f}"


@dataclass(frozen=True)
class Digest:
    """One day, by what it is about."""

    day: date
    waits: list[Said] = field(default_factory=list)
    late: list[Said] = field(default_factory=list)
    boxes: list[Said] = field(default_factory=list)
    reviews: list[Said] = field(default_factory=list)
    moved: list[Said] = field(default_factory=list)

    @property
    def key(self) -> str:
        return self.day.isoformat()

    @property
    def parts(self) -> list[tuple[str, list[Said]]]:
        found = [
            ("Waits for you", self.waits),
            ("Late", self.late),
            ("Boxes overdue", self.boxes),
            ("Reviews", self.reviews),
            ("Booked and moved dates", self.moved),
        ]
        return [(title, rows) for title, rows in found if rows]

    @property
    def count(self) -> int:
        return sum(len(rows) for _title, rows in self.parts)


@dataclass(frozen=True)
class Found:
    urgent: list[Urgent]
    digest: Digest | None


def choose(*, user: User, email: str, choice: str) -> None:
    """Say where a person's mail goes, and which they want."""
    user.email, user.mail_choice = email, MailChoice(choice)
    user.save(update_fields=["email", "mail_choice"])
    log.info("person %s chose their mail", user.pk)


def wanting() -> list[User]:
    """People to whom mail goes: an address, a role, and not "no mail"."""
    rows = User.objects.filter(is_active=True, memberships__active=True)
    wanted = rows.exclude(email="").exclude(mail_choice=MailChoice.NONE)
    return list(wanted.distinct().order_by("pk"))


def may_get(user: User) -> bool:
    """Whether a person still gets mail, read afresh."""
    return user.is_active and bool(user.email) and user.mail_choice != MailChoice.NONE


def of(user: User, *, any_time: bool = False) -> Found:
    """What there is to say to a person now.

    A digest comes from the hour of ``DIGEST_HOUR`` on, on days on which a house of theirs is
    open: one for today, whatever days were missed. With ``any_time`` it is told whenever asked.
    """
    now = _now(user)
    lines = _sendable(user)
    offices, laboratories = access.houses(user)
    waits = [
        wait
        for wait in desk.waits(lines)
        if (wait.on == Side.OFFICE and wait.line.case.office_id in offices)
        or (wait.on == Side.LABORATORY and wait.line.case.laboratory_id in laboratories)
    ]
    urgent = _urgent(waits) if user.mail_choice == MailChoice.URGENT else []
    due = any_time or (now.hour >= settings.DIGEST_HOUR and _open(user))
    moved = date_moves.unseen(user, [row.case for row in lines])
    return Found(urgent, _digest(lines, waits, moved, now.date()) if due else None)


def day_of(user: User) -> date:
    """Which day it is for a person."""
    return _now(user).date()


def _now(user: User) -> datetime:
    """The moment by the clock of the person's house, the first by name of several."""
    houses = access.organisations(user)
    return timezone.localtime(timezone=calendars.zone_of(houses[0]) if houses else None)


def still(said: Iterable[Said]) -> list[Said]:
    """Of these lines the ones that may leave at this moment, by what is stored now."""
    rows = list(said)
    stored = Case.objects.in_bulk({row.case.pk for row in rows})
    told = {case.pk for case in notices.sendable(list(stored.values()))}
    return [row for row in rows if row.case.pk in told]


def digest_now(row: Digest) -> Digest | None:
    """The same digest without cases of which nothing may leave any more."""
    every = [one for _title, rows in row.parts for one in rows]
    told = {one.case.pk for one in still(every)}

    def kept(rows: list[Said]) -> list[Said]:
        return [one for one in rows if one.case.pk in told]

    found = Digest(
        row.day,
        kept(row.waits),
        kept(row.late),
        kept(row.boxes),
        kept(row.reviews),
        kept(row.moved),
    )
    return found if found.count else None


def _sendable(user: User) -> list[Line]:
    lines = queries.open_lines(user)
    told = {case.pk for case in notices.sendable([row.case for row in lines])}
    return [row for row in lines if row.case.pk in told]


def _open(user: User) -> bool:
    houses = access.organisations(user)
    return any(calendars.is_open(house, calendars.today_of(house)) for house in houses)


def _told(waits: Iterable[Wait]) -> list[Said]:
    """A line for each wait; several of a case that would read alike are one, with their number."""
    found: dict[tuple[int, str, str, bool], list[Wait]] = {}
    for wait in waits:
        what = "" if wait.page in _PLAIN else wait.why
        key = (wait.line.case.pk, wait.page, what, wait.blocking)
        found.setdefault(key, []).append(wait)
    return [_said(rows[0], len(rows)) for rows in found.values()]


def _said(wait: Wait, number: int) -> Said:
    what, it = wait.why, "it"
    if wait.page in _PLAIN:
        one, several = _PLAIN[wait.page]
        what, it = (several.format(number), "them") if number > 1 else (one, "it")
    beside = "" if wait.blocking else f" The case does not wait for {it}."
    return Said(wait.line.case, what + beside, wait.page or "case")


def _urgent(waits: Iterable[Wait]) -> list[Urgent]:
    """Waits that hold a case up within the last days before surgery, each moment once."""
    found: dict[tuple[int, datetime], list[Wait]] = {}
    for wait in waits:
        if wait.blocking and _near(wait):
            since = wait.since or wait.line.case.stage_since
            found.setdefault((wait.line.case.pk, since), []).append(wait)
    return [
        Urgent(rows[0].line.case, since, tuple(_told(rows))) for (_pk, since), rows in found.items()
    ]


def _near(wait: Wait) -> bool:
    """Whether surgery is within the next working days of the house that is waited for."""
    case = wait.line.case
    today = calendars.today_of(case.office)
    if case.surgery_on is None or not today <= case.surgery_on <= today + timedelta(days=366):
        return False
    calendar = calendars.calendar_of(case.office if wait.on == Side.OFFICE else case.laboratory)
    return open_days.working_days_between(today, case.surgery_on, calendar) <= URGENT_DAYS


def _digest(
    lines: list[Line], waits: list[Wait], moved: list[DateMove], today: date
) -> Digest | None:
    found = Digest(
        day=today,
        waits=_told(wait for wait in waits if wait.page != "reviews"),
        late=[_late(row) for row in lines if row.late_days],
        boxes=[one for row in lines for one in _overdue(row)],
        reviews=_told(wait for wait in waits if wait.page == "reviews"),
        moved=[Said(row.case, f"{date_moves.words(row)}.", "dates") for row in moved],
    )
    return found if found.count else None


def _late(row: Line) -> Said:
    what = f"Late by {_days(row.late_days)}"
    if row.next_latest:
        words = desk.LATEST_WORDS[row.next_latest.step]
        what += f": {words}, at the latest {due_date(row.next_latest.on)}"
    return Said(row.case, f"{what}.", "dates")


def _overdue(row: Line) -> Iterator[Said]:
    for box in getattr(row.case, "boxes_under_way", []):
        days = transit.overdue_days(box)
        if box.sent_at and days:
            expected = due_date(transit.expected_on(box))
            what = f"{box.get_direction_display()}: expected {expected}, {_days(days)} overdue."
            yield Said(row.case, what, "boxes")


def _days(number: int) -> str:
    return "1 working day" if number == 1 else f"{number} working days"
