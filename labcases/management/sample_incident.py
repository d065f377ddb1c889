"""A cast that broke, told through the verbs of the pages: reported, poured and mounted again."""

from __future__ import annotations

from labcases.domain import bench, casts, incident
from labcases.domain.foreseeing import Report
from labcases.enums import Stage
from labcases.management.sample import MOUNTING
from labcases.management.walk import Walk
from labcases.models import Cast, Incident
from labcases.reference.incidents import kinds


def broken_and_mounted_again(walk: Walk) -> Incident:
    """A case that is mounted loses a cast, goes back, and is mounted again."""
    by = walk.hands.technician
    first = _cast(walk, "lot 12")
    case = walk.reload()
    row = incident.report(
        case=case,
        report=Report(
            kind=kinds()["broken-cast"],
            answer="own",
            cast=first,
            text="It slid off the bench with its mounting plate; the left tuberosity broke off.",
        ),
        seen=Stage(case.stage),
        seen_last=incident.last_of(case),
        by=by,
    )
    _cast(walk, "lot 14")
    for stage in (Stage.JAW_RECORDS, Stage.MOUNTING):
        walk.enter(stage)
    second = walk.reload().mounting
    bench.save_mounting(case=walk.case, version=second.version, by=by, values=MOUNTING)
    walk.enter(Stage.SETTINGS)
    return incident.close(
        incident=row,
        done="Poured again from the same impression, inspected, mounted by the same record.",
        by=walk.hands.manager,
    )


def _cast(walk: Walk, lot: str) -> Cast:
    case, by = walk.reload(), walk.hands.technician
    values = {"arch": case.prescription.arch, "kind": "master", "lot": lot}
    cast = casts.add_cast(case=case, by=by, values=values)
    casts.look_at(cast=cast, by=by, values={"state": "good"})
    return cast
