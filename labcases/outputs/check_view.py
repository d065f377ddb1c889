"""Kept findings of the clearance check, as screen and paper show them.

Nothing is computed here: what the engine said, once, is put into words, tables and arches.
Gaps are shown to 0.05 mm, because callipers and the reading of an articulator carry no more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal
from typing import Any

from labcases import notation as numbers
from labcases.domain import calculations, teeth
from labcases.domain.checks import Shown
from labcases.enums import Arch, Movement, Notation, OpposingTooth, Scheme, ToothStatus
from labcases.models import Prescription
from labcases.outputs.arch import ArchDrawing, Mark, ToothMark, arch_drawing
from labcases.templatetags.units import tooth_number

PROPOSAL = (
    "Proposal from a rigid model; the prescribing dentist decides; natural teeth and bone are "
    "never changed on this sheet's word. That no contact is predicted does not mean that there is "
    "none."
)

TITLES = {"protrusive": "Protrusive", "right": "Right lateral", "left": "Left lateral"}
MOVED = {
    "protrusive": Movement.PROTRUSIVE,
    "right": Movement.RIGHT,
    "left": Movement.LEFT,
}
NOT_AS_WANTED = "not as wanted"

_STEP_MM = Decimal("0.05")

# The small curve beside each row: travel to the right, gap upwards, the same window in every row.
CURVE_WIDTH, CURVE_HEIGHT = 100, 45
CURVE_LOW_MM, CURVE_HIGH_MM = -1.0, 2.0


@dataclass(frozen=True)
class ToothRow:
    """One posterior tooth in one excursion."""

    tooth: str
    label: str
    other: str
    role: str
    state: str
    verdict: str
    gap_mm: Decimal
    spread_mm: Decimal | None
    at_travel_mm: Decimal
    chance_percent: int | None
    conditional: bool
    curve: str

    @property
    def wrong(self) -> bool:
        return self.verdict == NOT_AS_WANTED


@dataclass(frozen=True)
class ExcursionView:
    """One excursion: its arch, its table, and both in a sentence."""

    key: str
    title: str
    travel_mm: Decimal
    pin: str
    summary: str
    wants: str
    """What the scheme wants of posterior teeth on this excursion."""
    drawing: ArchDrawing
    rows: list[ToothRow]


@dataclass(frozen=True)
class InTheWay:
    """What of one tooth stands in the way of all three excursions together."""

    tooth: str
    label: str
    place: str
    where: str
    title: str
    vertical_mm: Decimal
    object: str
    natural: str
    """The natural tooth in ISO 3950 that is the place, where one is."""
    shallow: bool
    deep: bool
    words: tuple[str, ...] = ()
    """The dentist's word on that natural tooth; the page says it."""


@dataclass(frozen=True)
class OverviewRow:
    """One tooth over all excursions, in their order; nothing where it was not asked."""

    tooth: str
    label: str
    cells: list[ToothRow | None]
    titles: list[str]

    @property
    def titled_cells(self) -> list[tuple[str, ToothRow | None]]:
        """Each cell with the title of its column, for a table that folds on a phone."""
        return list(zip(self.titles, self.cells, strict=True))


def build_context(shown: Shown, notation: str) -> dict[str, Any]:
    """What `check/_clearance.html` and the papers show of a kept clearance check.

    Parameters
    ----------
    shown : Shown
        The kept run, and what changed since.
    notation : str
        Tooth numbers of the reader's organisation.
    """
    run = shown.run
    return {
        **present(
            findings=run.findings,
            inputs=run.inputs,
            prescription=run.case.prescription,
            notation=notation,
        ),
        "stale": shown.stale,
        "changed": shown.changed,
        "engine_version": run.engine_version,
        "computed_by": run.by,
        "computed_at": run.at,
    }


def present(
    *,
    findings: Mapping[str, Any],
    inputs: Mapping[str, Any],
    prescription: Prescription,
    notation: str,
) -> dict[str, Any]:
    """The same from plain values, for findings that were frozen at the handoff."""
    band_mm = Decimal(str(findings["band_mm"]))
    arch = Arch(inputs["arch"])
    left_out = [
        {"tooth": row["tooth"], "label": show(row["tooth"], notation), "text": row["text"]}
        for row in findings["left_out"]
    ]
    excursions = [
        _excursion(
            row,
            arch=arch,
            prescription=prescription,
            left_out=left_out,
            scheme=findings["scheme"],
            notation=notation,
        )
        for row in findings["excursions"]
    ]
    return {
        "scheme": Scheme(findings["scheme"]).label,
        "band": f"{band_mm:.2f} mm",
        "band_top": _curve_y(float(band_mm)),
        "band_height": round(_curve_y(-float(band_mm)) - _curve_y(float(band_mm)), 1),
        "curve_zero": _curve_y(0.0),
        "curve_box": f"0 0 {CURVE_WIDTH} {CURVE_HEIGHT}",
        "excursions": excursions,
        "overview": _overview(excursions, notation),
        "in_the_way": [
            _in_the_way(row, notation, prescription)
            for row in findings.get("reduction", ())
            if row["vertical_mm"] >= float(_STEP_MM)
        ],
        "assumptions": list(findings["assumptions"]),
        "warnings": list(findings["warnings"]),
        "left_out": left_out,
        "proposal": PROPOSAL,
    }


def _in_the_way(told: Mapping[str, Any], notation: str, prescription: Prescription) -> InTheWay:
    depth, place = float(told["vertical_mm"]), told["place"] or ""
    natural = place and teeth.kind(prescription, place) == OpposingTooth.NATURAL
    return InTheWay(
        tooth=told["tooth"],
        label=show(told["tooth"], notation),
        place=show(told["place"], notation) if told["place"] else "",
        where=_incline(told["incline"]) if told["incline"] else "",
        title=TITLES[told["excursion"]],
        vertical_mm=to_step(depth),
        object=show(told["object"], notation) if told["object"] else "",
        natural=place if natural else "",
        shallow=depth < calculations.LEAST_DEPTH_MM,
        deep=depth > calculations.RESET_BEYOND_MM,
    )


def _incline(told: str) -> str:
    cusp, slope, half = told.split()
    return f"{slope} {half} incline of the {cusp} cusp"


def show(tooth: str, notation: str) -> str:
    """A tooth's number in the reader's notation, and nothing beside it."""
    return tooth_number(tooth, notation)


def _excursion(
    told: Mapping[str, Any],
    *,
    arch: Arch,
    prescription: Prescription,
    left_out: Sequence[Mapping[str, str]],
    scheme: str,
    notation: str,
) -> ExcursionView:
    travel_mm = to_step(told["travel_mm"])
    rows = [_row(row, told["travel_mm"], notation) for row in told["teeth"]]
    marks = _at_rest(arch, prescription)
    marks |= {
        row["tooth"]: ToothMark(Mark.DENTURE, state="not asked", note=row["text"])
        for row in left_out
    }
    marks |= {
        row.tooth: ToothMark(Mark.DENTURE, state=row.state, note=f"{row.verdict}, {_gap(row)}")
        for row in rows
    }
    return ExcursionView(
        key=told["excursion"],
        title=TITLES[told["excursion"]],
        travel_mm=travel_mm,
        pin=_pin(told),
        summary=_summary(rows),
        wants=_wants(told["excursion"], scheme),
        drawing=arch_drawing(arch=arch, teeth=marks, notation=Notation(notation)),
        rows=rows,
    )


def _at_rest(arch: Arch, prescription: Prescription) -> dict[str, ToothMark]:
    """Every position before the check says anything of it."""
    if prescription.arch != arch:
        return {}
    replaced = set(teeth.replaced(prescription))
    stays = {t for t, status in prescription.teeth.items() if status == ToothStatus.STAYS}
    return {
        tooth: ToothMark(
            Mark.DENTURE if tooth in replaced else Mark.STAYS if tooth in stays else Mark.LOST
        )
        for tooth in teeth.positions(arch)
    }


def _row(told: Mapping[str, Any], travel_mm: float, notation: str) -> ToothRow:
    chance = told["p_interference"]
    return ToothRow(
        tooth=told["tooth"],
        label=show(told["tooth"], notation),
        other=_in_other(told["tooth"], notation),
        role=told["role"],
        state=told["state"],
        verdict=told["verdict"],
        gap_mm=to_step(told["gap_mm"]),
        spread_mm=None if told["sd_mm"] is None else to_step(told["sd_mm"], ROUND_CEILING),
        at_travel_mm=to_step(told["at_travel_mm"]),
        chance_percent=None if chance is None else round(100 * chance),
        conditional=bool(told["conditional"]),
        curve=_curve(told["series"], travel_mm),
    )


def _in_other(tooth: str, notation: str) -> str:
    if notation == Notation.ISO_3950:
        return f"Universal {numbers.universal(tooth)}"
    return f"ISO {tooth}"


def to_step(value: float, rounding: str = ROUND_HALF_EVEN) -> Decimal:
    """To 0.05 mm. A spread is rounded up: it never looks smaller than it is."""
    steps = (Decimal(str(value)) / _STEP_MM).quantize(Decimal(1), rounding=rounding)
    return steps * _STEP_MM


def _gap(row: ToothRow) -> str:
    if row.gap_mm < 0:
        return f"{-row.gap_mm:.2f} mm of overlap at {row.at_travel_mm:f} mm of travel"
    return f"{row.gap_mm:.2f} mm apart at {row.at_travel_mm:f} mm of travel"


def _pin(told: Mapping[str, Any]) -> str:
    lift = told["pin_lift_mm"]
    if not lift or lift < float(_STEP_MM):
        return "The pin stays on the table all the way."
    at = told["pin_lift_at_mm"]
    where = "" if at is None else f", most at {at:.1f} mm of travel"
    return (
        "The front teeth are steeper than the table and lift the pin by up to "
        f"{to_step(lift):.2f} mm{where}. "
        "Rows marked conditional hold only as long as these front teeth guide."
    )


def _wants(excursion: str, scheme: str) -> str:
    """What verdicts go by: "contact on the working side; no contact on the balancing side"."""
    told = calculations.weigh_pass(
        [], movement=MOVED[excursion], scheme=scheme, kinds={}, own=[]
    ).wishes
    sides = len(told) > 1
    return "; ".join(f"{one.wish} on the {one.role} side" if sides else one.wish for one in told)


def _summary(rows: Sequence[ToothRow]) -> str:
    if not rows:
        return "No posterior tooth could be asked."
    wrong = [row.label for row in rows if row.wrong]
    silent = [row.label for row in rows if row.verdict == "scheme silent"]
    said = [f"Not as wanted: {', '.join(wrong)}." if wrong else "All as the scheme wants."]
    if silent and len(silent) == len(rows):
        said = ["The scheme says nothing about these teeth here."]
    elif silent:
        said.append(f"The scheme is silent about {', '.join(silent)}.")
    return " ".join(said)


def _overview(excursions: Sequence[ExcursionView], notation: str) -> list[OverviewRow]:
    found = {row.tooth for excursion in excursions for row in excursion.rows}
    titles = [excursion.title for excursion in excursions]
    by_tooth = [{row.tooth: row for row in excursion.rows} for excursion in excursions]
    return [
        OverviewRow(tooth, show(tooth, notation), [rows.get(tooth) for rows in by_tooth], titles)
        for tooth in (*numbers.UPPER, *numbers.LOWER)
        if tooth in found
    ]


def _curve_y(gap_mm: float) -> float:
    inside = min(max(gap_mm, CURVE_LOW_MM), CURVE_HIGH_MM)
    return round(CURVE_HEIGHT * (CURVE_HIGH_MM - inside) / (CURVE_HIGH_MM - CURVE_LOW_MM), 1)


def _curve(series: Sequence[Sequence[float]], travel_mm: float) -> str:
    """Points of the gap along the travel, cut off where they leave the window."""
    if not travel_mm:
        return ""
    return " ".join(
        f"{round(CURVE_WIDTH * travel / travel_mm, 1):g},{_curve_y(gap):g}"
        for travel, gap in series
    )
