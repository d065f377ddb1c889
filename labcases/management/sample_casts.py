"""Casts and records of the demonstration: sound ones, and some poured late and mounted twice."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from labcases.domain import bench, casts, jaw_records, remounting
from labcases.enums import ReturnTo
from labcases.management.sample import MOUNTING
from labcases.management.walk import Walk
from labcases.models import Cast

D = Decimal


def cast_and_rim(walk: Walk) -> None:
    """Both impressions poured in time, their casts and a duplicate inspected, a base with rim."""
    by = walk.hands.technician
    taken = timezone.now() - timedelta(minutes=50)
    upper, lower = (
        _poured(
            walk,
            {"arch": arch, "taken_at": taken, "poured_at": taken + timedelta(minutes=minutes)},
            {"kind": kind, "arch": arch, "poured_by": by.full_name} | mix,
        )
        for arch, minutes, kind, mix in (
            ("upper", 9, "master", {"gypsum": "type 4", "water_ml": D("44"), "lot": "G-41"}),
            ("lower", 11, "opposing", {"gypsum": "type 3", "water_ml": D("60"), "lot": "G-38"}),
        )
    )
    duplicate = casts.add_cast(
        case=walk.case, by=by, values={"kind": "duplicate", "arch": "upper", "made_from": upper}
    )
    for cast in (upper, lower, duplicate):
        casts.look_at(cast=cast, by=by, values={"state": "good"})
    rim = {"kind": "rim", "arch": "upper", "cast": upper, "material": "resin base, wax rim"}
    casts.add_piece(case=walk.case, by=by, values={**rim, "front_mm": D("21"), "back_mm": D("18")})


def _poured(walk: Walk, impression: dict[str, Any], cast: dict[str, Any]) -> Cast:
    case, by = walk.reload(), walk.hands.technician
    taken = {"material": "alginate", "tray": "dentate stock tray", **impression}
    row = casts.add_impression(case=case, by=by, values=taken)
    mixed = {"powder_g": D("200"), "impression": row, **cast}
    return casts.add_cast(case=case, by=by, values=mixed)


def jaw_record(walk: Walk) -> None:
    """A record in maximum intercuspation, taken by the dentist."""
    jaw_records.add(
        case=walk.reload(),
        by=walk.hands.technician,
        values={
            **{"kind": "maximum intercuspation", "material": "hard wax", "vertical_mm": D("68")},
            **{"taken_at": timezone.now() - timedelta(hours=3)},
            "taken_by": walk.hands.dentist.full_name,
        },
    )


def mounted_twice(walk: Walk) -> None:
    """At the mounting: an alginate poured late, sound casts, and foil that did not hold."""
    by = walk.hands.technician
    case = walk.reload()
    taken = timezone.now() - timedelta(days=9)
    impressions = {
        arch: casts.add_impression(
            case=case,
            by=by,
            values={
                "arch": arch,
                "material": "alginate",
                "tray": "dentate stock tray",
                "taken_at": taken,
                "poured_at": taken + timedelta(minutes=minutes),
            },
        )
        for arch, minutes in (("upper", 9), ("lower", 55))
    }
    upper = casts.add_cast(
        case=case,
        by=by,
        values={
            **{"kind": "master", "arch": "upper", "impression": impressions["upper"]},
            **{"gypsum": "type 4", "water_ml": D("44"), "powder_g": D("200"), "lot": "G-41"},
            "poured_by": by.full_name,
        },
    )
    lower = casts.add_cast(
        case=case,
        by=by,
        values={
            **{"kind": "opposing", "arch": "lower", "impression": impressions["lower"]},
            **{"gypsum": "type 3", "water_ml": D("60"), "powder_g": D("200"), "lot": "G-38"},
            "poured_by": by.full_name,
        },
    )
    casts.add_cast(
        case=case, by=by, values={"kind": "duplicate", "arch": "upper", "made_from": upper}
    )
    casts.add_piece(
        case=case,
        by=by,
        values={
            **{"kind": "rim", "arch": "upper", "cast": upper, "material": "resin base, wax rim"},
            **{"front_mm": D("21"), "back_mm": D("18")},
        },
    )
    for cast in (upper, lower):
        casts.look_at(cast=cast, by=by, values={"state": "good"})
    record = jaw_records.add(
        case=case,
        by=by,
        values={
            **{"kind": "maximum intercuspation", "material": "hard wax", "vertical_mm": D("68")},
            **{"taken_at": timezone.now() - timedelta(days=3)},
            "taken_by": walk.hands.dentist.full_name,
        },
    )
    told = {**MOUNTING, "upper_cast": upper, "lower_cast": lower, "record": record}
    first = bench.save_mounting(
        case=case, version=0, by=by, values={**told, "foil_points": 2, "foil_pairs": "13/43, 23/33"}
    )
    remounting.send_back(
        case=walk.reload(),
        to=ReturnTo.NEW_MOUNTING,
        reason="foil is held on the left only, the lower cast stood off its record",
        version=first.version,
        by=by,
    )
    second = walk.reload().mounting
    bench.save_mounting(case=walk.case, version=second.version, by=by, values=told)
