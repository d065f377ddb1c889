"""A processing of the case behind the walls, and who gets what from its pages."""

from __future__ import annotations

from django.utils import timezone

from labcases.domain import curing_cycles, processing_runs
from labcases.models import Case, Handoff, Organisation, ProcessingRun, User

#: As in `tests/walls.py`.
TABLE = """
processing                     GET    login     404    200 200 200 200 200 404     404
processing                     POST   login     404    403 403 422 403 422 404     404
processing_step                GET    login     405    405 405 405 405 405 405     405
processing_step                POST   login     404    403 403 422 403 422 404     404
processing_material            GET    login     405    405 405 405 405 405 405     405
processing_material            POST   login     404    403 403 422 403 422 404     404
processing_give_up             GET    login     405    405 405 405 405 405 405     405
processing_give_up             POST   login     404    403 403 422 403 422 404     404
processing_strike              GET    login     405    405 405 405 405 405 405     405
processing_strike              POST   login     404    403 403 422 403 422 404     404
processing_strike:unknown      GET    login     405    405 405 405 405 405 405     405
processing_strike:unknown      POST   login     404    403 403 404 403 404 404     404
curing_cycles:laboratory       GET    login     404    404 404 200 403 200 404     404
curing_cycles:laboratory       POST   login     404    404 404 422 403 422 404     404
curing_cycles:office           GET    login     404    404 404 404 404 404 404     404
curing_cycles:office           POST   login     404    404 404 404 404 404 404     404
curing_cycle                   GET    login     404    404 404 200 403 200 404     404
curing_cycle                   POST   login     404    404 404 422 403 422 404     404
"""


def own_cycle(laboratory: Organisation, by: User) -> dict[str, list[int]]:
    """A cycle of the laboratory's own, and where the cycles of either house would stand."""
    row = curing_cycles.add(
        laboratory=laboratory,
        by=by,
        values={
            **{"material": "resin, pink", "name": "short", "technique": "flask and bath"},
            **{"phases": [[90, 74.0]], "instructions": "leaflet of 2026"},
        },
    )
    return {"curing_cycle": [row.pk], "curing_cycles:laboratory": [laboratory.pk]}


def processed(case: Case, by: User) -> dict[str, int]:
    """A handoff of before, and a first step of what was made of it."""
    handoff = Handoff.objects.create(
        case=case,
        revision=case.prescription.revision,
        base_material="heat-cured resin",
        base_product="heat-cured resin, pink",
        frozen={"inputs": {}, "findings": {}},
        engine_version="1",
        by=by,
    )
    run = ProcessingRun.objects.create(
        case=case, handoff=handoff, number=1, technique="flask and bath", flask="3"
    )
    line = processing_runs.log_step(run=run, step="packed", at=timezone.now(), by=by)
    return {"processing_strike": line.pk, "processing_strike:unknown": line.pk}
