"""Complaints and serious incidents of a denture: entering, looking into, closing, and who is told.

What goes wrong while a case is made is an incident and brings the case back
(``domain.incident``). A complaint is told of a denture afterwards, brings nothing back and is only
added to; one may hang on the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone

from labcases.domain import access, history, profiles, review_state
from labcases.domain.striking import strike_out
from labcases.enums import BoxContent, Side
from labcases.enums.complaints import ComplaintAct, ComplaintState, Gravity, Outcome
from labcases.models import Case, Complaint, ComplaintEntry, Organisation, User
from labcases.reference import vigilance
from labcases.reference.vigilance import Duty

PART = "complaints"
MAY = {
    ComplaintAct.LOOKED: "look into a complaint",
    ComplaintAct.TOLD: "look into a complaint",
    ComplaintAct.CLOSED: "close a complaint",
    ComplaintAct.AGAIN: "close a complaint",
}


class NotNow(Exception):
    """The complaint stands elsewhere than the person thinks; the text says where."""


def enter(*, case: Case, by: User, values: Mapping[str, Any]) -> Complaint:
    """Write a complaint down as it was told. The statement that stands is kept beside it."""
    with history.turn(case):
        standing = [row for row in case.statements.all() if row.struck_at is None]
        row = Complaint.objects.create(
            case=case,
            by=by,
            statement=standing[-1] if standing else None,
            reported_from=_side(by, case),
            **values,
        )
        history.write(
            case=case, by=by, act="entered", part=PART, changes={"complaint": [None, in_words(row)]}
        )
    return row


def _side(by: User, case: Case) -> Side:
    office = access.positions(by, case) & access.OFFICE
    return Side.OFFICE if office else Side.LABORATORY


def add(*, complaint: Complaint, by: User, values: Mapping[str, Any]) -> ComplaintEntry:
    """Write what was found out, who was told, that it is closed, or open again.

    Raises
    ------
    NotNow
        It is closed already, or it is open already, or it was struck out.
    """
    act = ComplaintAct(values["act"])
    with history.turn(complaint.case):
        if Complaint.objects.get(pk=complaint.pk).struck_at:
            raise NotNow("This complaint was struck out. Enter it anew where it is one after all.")
        entries = list(complaint.entries.filter(struck_at=None).order_by("id"))
        closed = state_of(entries) == ComplaintState.CLOSED
        if closed and act in (ComplaintAct.LOOKED, ComplaintAct.CLOSED):
            raise NotNow("This complaint is closed. Open it again before you add to it.")
        if not closed and act == ComplaintAct.AGAIN:
            raise NotNow("This complaint is open. Write what was found out instead.")
        row = ComplaintEntry.objects.create(complaint=complaint, by=by, **values)
        history.write(
            case=complaint.case,
            by=by,
            act=act.label.lower(),
            part=PART,
            changes={"complaint": [in_words(complaint), entry_words(row)]},
        )
    return row


def strike(*, row: Complaint | ComplaintEntry, reason: str, by: User) -> Complaint | ComplaintEntry:
    """Strike a complaint or one entry of it out, with a reason; it stays readable.

    Raises
    ------
    labcases.domain.striking.AlreadyStruck
        Somebody struck it out before.
    ValueError
        No reason is given.
    """
    if isinstance(row, Complaint):
        return strike_out(row=row, part=PART, line=in_words(row), reason=reason, by=by)
    said = f"{row.get_act_display()}: {entry_words(row)}"
    return strike_out(row=row, part=PART, line=said, reason=reason, by=by)


def may_strike(user: User, row: Complaint | ComplaintEntry) -> bool:
    """What one wrote oneself, or anything by those who may strike out any complaint."""
    own = row.by_id == user.pk and access.may(user, "enter a complaint", row.case)
    return own or access.may(user, "strike out any complaint", row.case)


def left_on(case: Case) -> date | None:
    """The day on which the denture left the laboratory; else that of its delivery, where known."""
    sent = [
        timezone.localdate(box.sent_at)
        for box in case.boxes.prefetch_related("items")
        if box.sent_at
        and box.comes_to == "office"
        and any(item.content == BoxContent.DENTURE for item in box.items.all())
    ]
    return min(sent, default=None) or review_state.delivered_on(case)


# -- reading ------------------------------------------------------------------------------------


def in_words(row: Complaint) -> str:
    """What it is, in one line; the words of the person stand on its page."""
    lot = f", lot {row.lot}" if row.lot else ""
    return f"{row.get_gravity_display()}: {row.get_concern_display().lower()}{lot}"


def entry_words(row: ComplaintEntry) -> str:
    """What an entry says, in one line."""
    said = [
        row.get_outcome_display() if row.outcome else "",
        f"told {row.whom}" if row.whom else "",
        f"weighed as: {row.get_gravity_display().lower()}" if row.gravity else "",
        row.text,
    ]
    return ". ".join(part.rstrip(".") for part in said if part)


def state_of(entries: Sequence[ComplaintEntry]) -> ComplaintState:
    """Where a complaint stands after its entries, in their order."""
    state = ComplaintState.OPEN
    for row in entries:
        if row.act == ComplaintAct.CLOSED:
            state = ComplaintState.CLOSED
        elif row.act == ComplaintAct.AGAIN:
            state = ComplaintState.OPEN
        elif row.act == ComplaintAct.LOOKED and state == ComplaintState.OPEN:
            state = ComplaintState.LOOKED
    return state


@dataclass(frozen=True)
class Told:
    """A complaint as it stands now. ``written`` holds what was struck out as well."""

    row: Complaint
    written: tuple[ComplaintEntry, ...]

    @property
    def entries(self) -> tuple[ComplaintEntry, ...]:
        """What stands of it."""
        return tuple(one for one in self.written if one.struck_at is None)

    @property
    def struck(self) -> bool:
        return self.row.struck_at is not None

    @property
    def state(self) -> ComplaintState:
        return state_of(self.entries)

    @property
    def closed(self) -> bool:
        return self.struck or self.state == ComplaintState.CLOSED

    @property
    def gravity(self) -> Gravity:
        """As it was weighed last."""
        said = [one.gravity for one in self.entries if one.gravity]
        return Gravity(said[-1] if said else self.row.gravity)

    @property
    def outcome(self) -> str:
        said = [one.outcome for one in self.entries if one.outcome]
        return Outcome(said[-1]).label if said and self.closed else ""

    @property
    def grave(self) -> bool:
        return self.gravity != Gravity.COMPLAINT

    @property
    def told(self) -> list[ComplaintEntry]:
        return [one for one in self.entries if one.act == ComplaintAct.TOLD]


def told(row: Complaint) -> Told:
    return Told(row, tuple(sorted(row.entries.all(), key=lambda one: one.pk)))


def of_case(case: Case) -> list[Told]:
    """The complaints of a case, the newest first."""
    rows = case.complaints.select_related("by").prefetch_related("entries").order_by("-id")
    return [told(row) for row in rows]


def of_house(user: User, house: Organisation) -> list[Told]:
    """The complaints of the cases of a house that a person sees: open ones first, graver first."""
    rows = _of(user, house).select_related("case__office", "case__laboratory", "by")
    found = [told(row) for row in rows.prefetch_related("entries").order_by("-id")]
    return sorted(found, key=lambda one: (one.struck, one.closed, not one.grave))


def open_to(user: User, most: int | None = None) -> list[Told]:
    """Complaints that are not closed, of every case that a person sees: the gravest first.

    With ``most`` only so many, the newest ones.
    """
    last = ComplaintEntry.objects.filter(
        complaint=OuterRef("pk"),
        act__in=(ComplaintAct.CLOSED, ComplaintAct.AGAIN),
        struck_at=None,
    ).order_by("-id")
    visible = Case.objects.filter(access.seen(user), pk=OuterRef("case"), erased=False)
    # Beginning with the complaints: there are few, and very many cases.
    seen = Complaint.objects.filter(Exists(visible), struck_at=None)
    rows = seen.annotate(last=Subquery(last.values("act")[:1]))
    standing = rows.filter(Q(last__isnull=True) | Q(last=ComplaintAct.AGAIN))
    standing = standing.select_related("case__office", "case__laboratory")
    newest = standing.prefetch_related("entries").order_by("-id")
    found = [told(row) for row in (newest if most is None else newest[:most])]
    return sorted(found, key=lambda one: not one.grave)


def _of(user: User, house: Organisation) -> QuerySet[Complaint]:
    mine = access.visible_cases(user).filter(Q(office=house) | Q(laboratory=house))
    return Complaint.objects.filter(case__in=mine)


def by_case(cases: Iterable[int]) -> dict[int, int]:
    """Case key -> how many complaints stand of it, by one question."""
    found: dict[int, int] = {}
    standing = Complaint.objects.filter(case__in=list(cases), struck_at=None)
    for key in standing.values_list("case", flat=True):
        found[key] = found.get(key, 0) + 1
    return found


# -- whom to tell -------------------------------------------------------------------------------


def first_due(one: Told) -> date | None:
    """The earliest day by which somebody is to be told, as long as nobody was."""
    days = [due.latest for due in whom_to_tell(one) if due.latest]
    return None if one.told or one.closed else min(days, default=None)


@dataclass(frozen=True)
class Due:
    """A duty of one profile, and the latest day that follows from it; none where it names none."""

    profile: str
    duty: Duty | None
    latest: date | None = None


def latest(duty: Duty, gravity: Gravity, known_on: date) -> date | None:
    """The last day by a duty: its days after the day on which it became known."""
    days = duty.days.get(str(gravity))
    return None if days is None else known_on + timedelta(days=days)


def whom_to_tell(one: Told) -> list[Due]:
    """What was read for the profiles of both houses; a place without a text says so."""
    found: list[Due] = []
    for profile in profiles.chosen(one.row.case):
        read = [duty for duty in vigilance.duties() if _holds(duty, profile.key)]
        found += [
            Due(profile.title, duty, latest(duty, one.gravity, one.row.known_on)) for duty in read
        ] or [Due(profile.title, None)]
    return found or [Due("No profile is chosen", None)]


def _holds(duty: Duty, profile: str) -> bool:
    return profile == profiles.STRICT or duty.holds_for(profile)
