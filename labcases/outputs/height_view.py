"""The kept height budget in a few lines, and in rows for a paper."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any

from labcases.domain.checks import Shown
from labcases.templatetags.units import tooth_number


@dataclass(frozen=True)
class HeightView:
    """The kept height budget in a few lines."""

    counts: str
    short: list[str]
    stale: bool
    changed: list[str]
    engine_version: str
    computed_by: str
    computed_at: Any


def _sites(count: int, verdict: str) -> str:
    """A count with what is counted: "8 sites: fits"."""
    return f"{count} {'site' if count == 1 else 'sites'}: {verdict}"


def build_context(shown: Shown, notation: str) -> HeightView:
    """How many sites fit, and each site that is short with by how much."""
    rows = shown.run.findings["rows"]
    found = Counter(row["verdict"] for row in rows)
    order = ("fits", "ample", "short", "not measured", "no antagonist")
    return HeightView(
        counts=", ".join(_sites(found[verdict], verdict) for verdict in order if found[verdict])
        or "No site",
        short=[
            f"{tooth_number(row['tooth'], notation)} is short by {row['short_by_mm']:.2f} mm."
            for row in rows
            if row["verdict"] == "short"
        ],
        stale=shown.stale,
        changed=shown.changed,
        engine_version=shown.run.engine_version,
        computed_by=str(shown.run.by),
        computed_at=shown.run.at,
    )


def rows(told: list[dict[str, Any]], notation: str) -> list[dict[str, Any]]:
    """Kept rows with the reader's tooth numbers."""
    return [{**row, "label": tooth_number(row["tooth"], notation)} for row in told]
