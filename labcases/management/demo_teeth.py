"""The tooth stock of the demonstration's laboratory, and an order that comes too late.

Lines, moulds and suppliers are invented.
"""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from labcases.domain import bench, stock, teeth_needed, tooth_orders
from labcases.enums import Arch, SetUpPart, ToothMaterial
from labcases.management.walk import Walk
from labcases.models import Organisation, User

ANTERIOR, POSTERIOR = SetUpPart.ANTERIOR, SetUpPart.POSTERIOR
BEHIND = "20 degree, small"

#: Line, arch, part, mould, shade, lot, cusp angle, width together, place, count.
SETS: tuple[tuple[Any, ...], ...] = (
    ("Alder", Arch.UPPER, ANTERIOR, "O-44", "A2", "A-1702", None, "44.5", "drawer 1", 3),
    ("Alder", Arch.UPPER, ANTERIOR, "O-46", "A3", "A-1688", None, "46.0", "drawer 1", 1),
    ("Alder", Arch.UPPER, ANTERIOR, "O-46", "B2", "A-1711", None, "46.0", "drawer 1", 2),
    ("Alder", Arch.UPPER, ANTERIOR, "S-47", "B2", "A-1690", None, "47.2", "drawer 2", 0),
    ("Alder", Arch.LOWER, ANTERIOR, "L-36", "B2", "A-1640", None, "36.0", "drawer 2", 1),
    ("Birch", Arch.UPPER, POSTERIOR, BEHIND, "B2", "P-0805", "20", "30.0", "drawer 5", 2),
    ("Birch", Arch.UPPER, POSTERIOR, "20 degree, medium", "B2", "P-0811", "20", "32.0", None, 4),
    ("Birch", Arch.UPPER, POSTERIOR, "30 degree, small", "B2", "P-0790", "30", "30.0", None, 0),
    ("Birch", Arch.LOWER, POSTERIOR, BEHIND, "B2", "P-0766", "20", "31.0", "drawer 6", 1),
)


def fill_stock(laboratory: Organisation, by: User) -> None:
    """Sets on the shelves, some of them down to none."""
    for line, arch, part, mould, shade, lot, cusps, width, place, count in SETS:
        stock.add(
            laboratory=laboratory,
            by=by,
            values={
                "line": line,
                "arch": arch,
                "part": part,
                "mould": mould,
                "shade": shade,
                "material": ToothMaterial.RESIN,
                "lot": lot,
                "cusp_angle_deg": Decimal(cusps) if cusps else None,
                "together_mm": Decimal(width),
                "shelf": place or "drawer 5",
                "count": count,
            },
        )


def ordered_late(walk: Walk) -> None:
    """Both sets are ordered: one should be here, the other comes after the set-up must begin."""
    case, by = walk.reload(), walk.hands.lab_desk
    row = case.prescription
    bench.save_selection(
        case=case,
        version=0,
        by=walk.hands.technician,
        values={
            "anterior_mould": "L-36",
            "posterior_mould": BEHIND,
            "shade": row.shade,
            "material": row.tooth_material,
        },
    )
    case, today = walk.reload(), timezone.localdate()
    for need, days_ago, lead_days in zip(teeth_needed.needed(case), (12, 1), (5, 6), strict=True):
        tooth_orders.order(
            case=case,
            need=need,
            by=by,
            values={
                **teeth_needed.wanted(case, need.part),
                "supplier": "Lowgate Supplies",
                "ordered_on": today - timedelta(days=days_ago),
                "lead_days": lead_days,
            },
        )
