"""All parts of a case in the order of the work."""

from __future__ import annotations

from collections.abc import Callable

from labcases.models import Case
from labcases.views import _bench_parts as bench
from labcases.views import _cast_parts as cast_parts
from labcases.views import _complaint_parts as complaint_parts
from labcases.views import _curing_parts as curing_parts
from labcases.views import _incident_parts as incident_parts
from labcases.views import _office_parts as office
from labcases.views import _proposal_parts as proposal_parts
from labcases.views import _review_parts as review_parts
from labcases.views._folded import Part

PARTS: tuple[Callable[[Case], Part], ...] = (
    office.prescription,
    office.boxes,
    office.files,
    cast_parts.casts,
    bench.mounting,
    bench.settings,
    bench.teeth,
    bench.sites,
    bench.check,
    bench.setup,
    bench.bench_check,
    office.try_in,
    bench.final_wax,
    bench.handoff,
    curing_parts.processing,
    bench.remount,
    bench.finishing,
    bench.release,
    bench.statement,
    office.delivery,
    review_parts.reviews,
    proposal_parts.proposals,
    office.questions,
    incident_parts.incidents,
    complaint_parts.complaint_part,
    office.dates,
    office.papers,
    office.history,
)


def parts_of(case: Case) -> list[Part]:
    return [fold(case) for fold in PARTS]
