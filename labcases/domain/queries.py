"""The read side: cases as lines of a list, the bench's day, and finding a case."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import (
    Exists,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
    prefetch_related_objects,
)

from labcases import notation
from labcases.domain import (
    access,
    calendars,
    checks,
    disinfecting,
    lots,
    pairs,
    planning,
    schedule,
    stages,
    teeth,
)
from labcases.domain import proposal_reading as proposals
from labcases.domain import question as asking
from labcases.domain.gates.reports import HOLDING, REPORTED
from labcases.domain.outlook import Outlook
from labcases.domain.planning import Planner
from labcases.domain.schedule import Latest
from labcases.enums import (
    ENDS,
    AppointmentStatus,
    AttachmentKind,
    CheckKind,
    PrescriptionStatus,
    SetUpAct,
    Side,
    Stage,
)
from labcases.models import (
    Appointment,
    Attachment,
    Box,
    Case,
    Incident,
    OfficeLink,
    Proposal,
    Question,
    Remake,
    SetUpEntry,
    TryIn,
    User,
)

# Stages in which the technician has the case in hand.
AT_THE_BENCH = (
    Stage.SENT,
    Stage.ACCEPTED,
    Stage.TRAY,
    Stage.MASTER_CAST,
    Stage.MOUNTING,
    Stage.SETTINGS,
    Stage.SET_UP,
    Stage.FINAL_WAX,
    Stage.PROCESSING,
    Stage.REMOUNT,
    Stage.FINISHING,
    Stage.RELEASED,
)


# What stands once beside a case and is asked for at the bench.
AT_HAND = (
    *("mounting", "articulator", "selection", "remount_check", "finishing", "mark_row"),
    *("release", "delivery", "arrival", "surgery"),
)

# The stages from which a gate reads these lists: what no case on the page needs is not fetched.
FLASKED_NEXT = frozenset({Stage.FINAL_WAX})
REMOUNTED = frozenset({Stage.REMOUNT, Stage.FINISHING})
READ_AT: dict[str | Prefetch[Any], frozenset[Stage]] = {
    "try_ins": FLASKED_NEXT,
    "attachments": FLASKED_NEXT,
    "bench_checks": frozenset({Stage.SET_UP, Stage.FINAL_WAX}),
    "handoffs": FLASKED_NEXT | {Stage.PROCESSING} | REMOUNTED,
    "processing_runs__steps": frozenset({Stage.PROCESSING}),
    "processing_runs__materials": frozenset({Stage.PROCESSING}) | REMOUNTED,
    "release_lots": REMOUNTED,
    "sites": frozenset({Stage.SETTINGS, Stage.FINAL_WAX}),
    "remount_entries": REMOUNTED,
    "statements": frozenset({Stage.RELEASED}),
    "setup_entries": frozenset({Stage.SET_UP, Stage.FINAL_WAX, Stage.REMOUNT, Stage.FINISHING}),
}


def with_columns(cases: QuerySet[Case]) -> QuerySet[Case]:
    """What every list shows and the database can say in the line of the case itself."""
    last = TryIn.objects.filter(case=OuterRef("pk")).order_by("-number")
    judged = Q(outcome__in=planning.TRIED_IN, taken_back="")
    links = OfficeLink.objects.filter(office=OuterRef("office"), laboratory=OuterRef("laboratory"))
    return cases.select_related(
        "office", "laboratory", "patient", "final_wax", "delivery"
    ).annotate(
        tried_in=Exists(last.filter(judged, number=Subquery(last.values("number")[:1]))),
        road_days=Subquery(links.values("road_days")[:1]),
        wax_shown=Exists(
            Attachment.objects.filter(
                case=OuterRef("pk"), kind=AttachmentKind.FINAL_WAX, removed_at__isnull=True
            )
        ),
        trimmed_since=Exists(_trimmed_since_approval()),
        patient_silent=Exists(Case.objects.filter(patient=OuterRef("patient"), silent=True)),
    )


def _trimmed_since_approval() -> QuerySet[SetUpEntry]:
    """Lines of the trimming that the approval of the wax does not cover, for the lists.

    By the clock; the gate goes by the lines themselves (``trimming.changed_since``).
    """
    approved = OuterRef("final_wax__approved_at")
    return SetUpEntry.objects.filter(
        Q(at__gt=approved, struck_at__isnull=True) | Q(at__lte=approved, struck_at__gt=approved),
        case=OuterRef("pk"),
        act=SetUpAct.TRIMMED,
    )


def fetch(cases: Iterable[Case], user: User, *, beside: Sequence[str] = ()) -> list[Case]:
    """Fetch what a line of a list reads: six questions to the database, whatever the number.

    ``beside`` names what stands once beside a case and is fetched of its linked case along.
    """
    rows = list(cases)
    others = pairs.fetch_links(rows, *beside)
    prefetch_related_objects([*rows, *others], "prescriptions", "proposals")
    live = Appointment.objects.exclude(status=AppointmentStatus.DROPPED)
    prefetch_related_objects(
        rows,
        Prefetch("questions", asking.threads(user), asking.THREADS),
        Prefetch("appointments", live, "live_appointments"),
    )
    calendars.fetch(rows, access.organisations(user))
    return rows


def _fetch_dates(lines: Sequence[Line], user: User) -> None:
    """Fetch boxes on the way, awaited teeth and the reviews that were held."""
    rows = [line.case for line in lines]
    under_way = Box.objects.filter(received_at__isnull=True)
    prefetch_related_objects(
        rows,
        Prefetch("boxes", under_way.select_related("sent_by", "trouble_by"), "boxes_under_way"),
        "tooth_supplies",
    )
    delivered = [case for case in rows if case.stage in (Stage.DELIVERED, Stage.IN_REVIEW)]
    again = Prefetch("remakes", Remake.objects.select_related("case"))
    prefetch_related_objects(delivered, "review_entries", again)


A_QUESTION = "a question is open"
A_PROPOSAL = "a proposal is open"
BOTH = "a question and a proposal are open"


@dataclass(frozen=True)
class Waiting:
    """A house that has to answer before the case goes on, and since when."""

    on: Side
    since: datetime
    what: str = A_QUESTION


def waiting(questions: Iterable[Question], proposals: Iterable[Proposal] = ()) -> list[Waiting]:
    """For whom a case waits, each house once with its longest wait, that one first.

    Proposals wait for the office, since the dentist answers them.
    """
    asked = [
        (Side(one.waits_for), one.waiting_since, A_QUESTION)
        for one in questions
        if one.blocking and one.waits
    ]
    proposed = [
        (Side.OFFICE, one.raised_at, A_PROPOSAL) for one in proposals if one.blocking and one.waits
    ]
    found: dict[Side, tuple[datetime, set[str]]] = {}
    for side, since, what in (*asked, *proposed):
        oldest, said = found.get(side, (since, set()))
        found[side] = (min(oldest, since), said | {what})
    rows = [
        Waiting(side, since, said.pop() if len(said) == 1 else BOTH)
        for side, (since, said) in found.items()
    ]
    return sorted(rows, key=lambda row: row.since)


@dataclass(frozen=True)
class Line:
    """One case in a list, with everything that the list says about it."""

    case: Case
    stage: Stage
    plain_state: str
    late_days: int
    waits_for: Side | None
    waiting: list[Waiting]
    plan: list[Latest]
    next_latest: Latest | None
    proposals: int = 0
    """How many proposals the dentist has not answered."""
    outlook: Outlook | None = None
    """Whether the surgery day holds."""

    @property
    def linked(self) -> Case | None:
        """The case of the other arch."""
        return pairs.other(self.case)

    @property
    def stage_words(self) -> str:
        return stages.stage_words(self.case)

    @property
    def glyph(self) -> str:
        """The status glyph that stands before the stage."""
        if self.case.on_hold:
            return "on hold"
        if self.waits_for:
            return "waiting"
        if self.case.stage in ENDS:
            return "done"
        return "on the bench" if self.stage in AT_THE_BENCH else "waiting"


def plan_of(case: Case, today: date | None = None) -> list[Latest]:
    """Latest dates of a case; none while no surgery day is known, on hold, and after the end."""
    if case.surgery_on is None or not case.is_open or case.on_hold:
        return []
    return plan_if_open(case, today)


def plan_if_open(case: Case, today: date | None = None) -> list[Latest]:
    """The latest dates as they would be if the case went on today."""
    if case.surgery_on is None:
        return []
    return planning.Planner(today).plan(case)


def line(case: Case, today: date | None = None, planner: Planner | None = None) -> Line:
    """What a list says about a case; a ``planner`` that many lines share looks up houses once."""
    planner = planner or Planner(today)
    due = case.is_open and not case.on_hold
    plan = planner.plan(case) if due else []
    ahead = [row for row in plan if not row.reached and not row.optional]
    waits = waiting(stages.open_questions(case), case.proposals.all())
    return Line(
        case=case,
        stage=Stage(case.stage),
        plain_state=stages.plain_state(case),
        late_days=schedule.late_by_days(plan),
        waits_for=waits[0].on if waits else None,
        waiting=waits,
        plan=plan,
        next_latest=min(ahead, key=lambda row: row.on) if ahead else None,
        proposals=len(proposals.waiting(case)) if case.is_open else 0,
        outlook=planner.outlook(case) if due else None,
    )


def open_lines(user: User, also: Collection[int] = ()) -> list[Line]:
    """Open cases that a person may see, the nearest surgery first, dateless last.

    ``also`` are keys of ended cases about which something is said all the same.
    """
    wanted = access.visible_cases(user).filter(~Q(stage__in=ENDS) | Q(pk__in=also))
    lines = _sorted_lines(fetch(with_columns(wanted), user))
    _fetch_dates(lines, user)
    return lines


def _sorted_lines(cases: Iterable[Case]) -> list[Line]:
    planner = Planner()
    lines = [line(case, planner=planner) for case in cases]
    return sorted(lines, key=lambda row: (row.case.surgery_on or date.max, row.case.pk))


def bench(user: User) -> list[Line]:
    """The technician's day: what is in hand, late first, then by surgery day."""
    cases = access.visible_cases(user).filter(stage__in=AT_THE_BENCH)
    holding = Incident.objects.filter(
        case=OuterRef("pk"), kind__in=HOLDING, struck_at__isnull=True, closed_at__isnull=True
    )
    at_hand = with_columns(cases).select_related(*AT_HAND).annotate(**{REPORTED: Exists(holding)})
    found = fetch(at_hand, user, beside=("remount_check", "release", "articulator", "mounting"))
    return sorted(
        _sorted_lines(found),
        key=lambda row: (-row.late_days, row.case.surgery_on or date.max, row.case.pk),
    )


def fetch_bench(lines: Iterable[Line]) -> None:
    """Fetch what the gates ask of these cases, and where what they need is."""
    rows = [line.case for line in lines]
    others = [other for case in rows if (other := pairs.other(case)) is not None]
    prefetch_related_objects([*rows, *others], "boxes")
    disinfecting.with_items(box for case in (*rows, *others) for box in case.boxes.all())
    prefetch_related_objects(rows, "tooth_supplies")
    last = Prefetch("check_runs", checks.latest_runs(CheckKind.CLEARANCE), checks.CLEARANCE)
    for what, stages_that_ask in {**READ_AT, last: FLASKED_NEXT}.items():
        # What the release of one arch asks, it asks of the other one as well.
        both = [*rows, *others] if stages_that_ask & REMOUNTED else rows
        prefetch_related_objects([one for one in both if one.stage in stages_that_ask], what)
    reported = [case for case in rows if getattr(case, REPORTED)]
    prefetch_related_objects(reported, "incidents__cast", "casts")


@dataclass(frozen=True)
class Search:
    """What ``Cases`` was asked for."""

    text: str = ""
    stage: str = ""
    arch: str = ""
    tooth: str = ""
    surgery_on: date | None = None
    include_ended: bool = False


def search(user: User, asked: Search) -> QuerySet[Case]:
    """Find cases by code, tray number, patient code, lot, stage, arch, tooth or surgery day.

    Never by a patient's name. Text of four or more characters finds a code anywhere in
    it; shorter text only a patient code or tray number that starts with it. A lot finds cases
    that ended as well: what went into a denture is asked most when it is in the mouth.
    """
    cases = access.visible_cases(user)
    text = re.sub(r"[\s-]", "", asked.text).upper()
    of_lot = Q(pk__in=())
    if text:
        of_lot = lots.cases_with(asked.text)
        wanted = Q(patient__code__istartswith=asked.text.strip()) | Q(
            tray_number__iexact=asked.text.strip()
        )
        if len(text) >= 4:
            wanted |= Q(code__contains=text)
        # Who finds one of two linked cases finds both.
        cases = cases.filter(wanted | pairs.linked_with(cases.filter(wanted)) | of_lot)
    if asked.stage:
        cases = cases.filter(stage=asked.stage)
    elif not asked.include_ended:
        cases = cases.filter(~Q(stage__in=ENDS) | of_lot)
    if asked.surgery_on:
        cases = cases.filter(surgery_on=asked.surgery_on)
    if asked.arch or asked.tooth:
        arch = asked.arch or notation.arch_of(asked.tooth)
        in_force = Q(prescriptions__status=PrescriptionStatus.SIGNED) | Q(
            prescriptions__status=PrescriptionStatus.DRAFT, prescriptions__revision=1
        )
        cases = cases.filter(in_force, prescriptions__arch=arch).distinct()
    return with_columns(cases)


def with_tooth(cases: QuerySet[Case], tooth: str) -> list[Case]:
    """Of these cases, the ones that replace a tooth."""
    rows = cases.prefetch_related("prescriptions")
    return [case for case in rows if tooth in teeth.replaced(case.prescription)]
