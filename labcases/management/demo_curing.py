"""The bench of the demonstration: its hours, a curing cycle of its own, and a base in the bath."""

from __future__ import annotations

from datetime import time, timedelta

from django.utils import timezone

from labcases.domain import calendars, curing_cycles, own_materials, processing_runs
from labcases.domain import processing_state as states
from labcases.enums.curing import Technique
from labcases.management import walk_curing
from labcases.management.walk import Walk
from labcases.models import CuringCycle, Organisation, User

#: Minutes ago at which each step was done; it is still in the bath.
MINUTES_AGO = {"wax out": 150, "packed": 110, "closed": 100, "in bath": 65}

#: Invented materials of the laboratory.
MATERIALS = (
    (walk_curing.PRODUCT, "base", "yes", "powder and liquid, cabinet by the flasks"),
    ("soft liner, chairside", "liner", "no", ""),
    ("repair resin, tooth shade", "repair", "yes", "for a denture tooth that was ground through"),
)


def equip(laboratory: Organisation, by: User) -> CuringCycle:
    """Enter hours, materials, and an overnight cycle by the leaflet of an invented resin."""
    for called, kind, monomer, note in MATERIALS:
        own_materials.add(
            laboratory=laboratory,
            by=by,
            values={"called": called, "kind": kind, "monomer": monomer, "note": note},
        )
    calendars.set_hours(organisation=laboratory, opens=time(8), closes=time(16), by=by)
    return curing_cycles.add(
        laboratory=laboratory,
        by=by,
        values={
            "material": walk_curing.PRODUCT,
            "name": "overnight",
            "technique": Technique.FLASK,
            "phases": [[540, 70.0]],
            "dwell_minutes": 30,
            "bench_minutes": 60,
            "instructions": "leaflet of the resin, edition 3",
        },
    )


def in_the_bath(walk: Walk) -> None:
    """A base that went into the bath an hour ago."""
    case, by = walk.reload(), walk.hands.technician
    walk_curing.begin(case, by, flask="5", place="2")
    now = timezone.now().replace(second=0, microsecond=0)
    for step, minutes in MINUTES_AGO.items():
        processing_runs.log_step(
            run=states.of_case(case), step=step, at=now - timedelta(minutes=minutes), by=by
        )
