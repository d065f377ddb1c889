"""The technician's day: the next job first, each with what it lacks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from labcases.domain import disinfecting, people, queries, stages, tooth_dates
from labcases.domain import incident_reading as incidents
from labcases.domain import question as questions
from labcases.domain.gates import Missing
from labcases.domain.queries import Line
from labcases.domain.stages import Way
from labcases.enums import ENDS
from labcases.models import Incident, User
from labcases.views._lookup import person
from labcases.views._pages import pager
from labcases.views._ways import VERBS

JOBS_A_PAGE = 20
LACKS_SHOWN = 2


@dataclass(frozen=True)
class Step:
    """One way on, and the first things that it lacks."""

    verb: str
    lacks: list[Missing]
    more: int


@dataclass(frozen=True)
class Job:
    """One case at the bench."""

    line: Line
    steps: list[Step]
    unread: int = 0
    contaminated: str = ""
    teeth: str = ""
    incidents: list[Incident] = field(default_factory=list)
    told: int = 0


@require_safe
def bench(request: HttpRequest) -> HttpResponse:
    """Cases that the laboratory has in hand; those that wait stand below the others."""
    user = person(request)
    houses = {one.pk for one in people.laboratories(user)}
    if not houses:
        raise PermissionDenied
    lines = [row for row in queries.bench(user) if row.case.laboratory_id in houses]
    ready = [row for row in lines if not _stands_still(row)]
    page = Paginator(ready, JOBS_A_PAGE).get_page(request.GET.get("page"))
    standing = [row for row in lines if _stands_still(row)] if page.number == 1 else []
    queries.fetch_bench([*page, *standing])
    cases = [row.case for row in (*page, *standing)]
    unread = questions.unread(user, cases)
    reports = incidents.by_case(incidents.open_to(user, cases))

    def job(row: Line, steps: list[Step]) -> Job:
        told = reports.get(row.case.pk, [])
        shown = _job(row, steps, unread)
        return replace(
            shown, incidents=[one.row for one in told], told=sum(one.new for one in told)
        )

    context = {
        "page_title": "Bench",
        "place": "bench",
        "jobs": [job(row, _steps(row, user)) for row in page],
        "first_page": page.number == 1,
        "standing": [job(row, []) for row in standing],
        "pager": pager(request, page),
        "houses": len(houses),
        "contaminated": disinfecting.CONTAMINATED,
    }
    return render(request, "bench/bench.html", context)


def _job(row: Line, steps: list[Step], unread: Mapping[int, int]) -> Job:
    """A job with what is new about it, and what of it is to be disinfected here first."""
    unsafe = [
        item
        for item in disinfecting.contaminated(row.case.boxes.all())
        if item.box.sent_at and item.box.comes_to == "laboratory"
    ]
    teeth = tooth_dates.warnings(row.case, row.plan, timezone.localdate())
    return Job(row, steps, unread.get(row.case.pk, 0), disinfecting.names(unsafe), teeth)


def _stands_still(row: Line) -> bool:
    return bool(row.case.on_hold or row.waits_for)


def _steps(row: Line, user: User) -> list[Step]:
    """The ways forward out of the present stage."""
    ways = stages.ways(row.case, user)
    return [_step(way) for way in ways if not way.back and way.to not in ENDS]


def _step(way: Way) -> Step:
    shown = way.missing[:LACKS_SHOWN]
    return Step(VERBS[way.to], shown, len(way.missing) - len(shown))
