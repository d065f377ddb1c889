"""A laboratory's quality as a drawing, as tables and as a file. Codes only, never a patient."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from labcases import codes
from labcases.domain.quality import Days, Share
from labcases.domain.quality_reading import OfOffice, Quality
from labcases.outputs import csv_file

MINUS = "\N{MINUS SIGN}"
HEIGHT, TOP, BOTTOM = 240, 12, 28
WIDE, NARROW = (640, 70, 90), (330, 44, 78)
"""Widths of the drawing, with the room for words at its left and right; letters stay as large."""
HEAD = ("What", "Office", "Stage", "Case", "Date", "Count", "Of", "Value", "Unit")


@dataclass(frozen=True)
class Line:
    """A level line of the drawing with its words."""

    key: str
    words: str
    y: float


@dataclass(frozen=True)
class Point:
    """One reading: where it stands in the drawing, and whether it lies outside the limits."""

    x: float
    y: float
    outside: bool


def charts(found: Quality) -> dict[str, dict[str, Any] | None]:
    """The same drawing for a wide page and for a narrow one; the style sheet shows one."""
    return {"wide": chart(found), "narrow": chart(found, NARROW)}


def chart(found: Quality, room: tuple[int, int, int] = WIDE) -> dict[str, Any] | None:
    """The drawing of the pin's rise, one place a reading in their order; nothing of none.

    ``room`` is the width of the drawing, and what its words take at the left and the right.
    """
    width, left, right = room
    values = [float(one.rise_mm) for one in found.readings]
    if not values:
        return None
    told = found.chart
    levels = [("zero", 0.0)]
    if told:
        levels += [("upper", told.upper), ("mean", told.mean), ("lower", told.lower)]
    low = min(*values, *(level for _key, level in levels), 0.0)
    high = max(*values, *(level for _key, level in levels), 0.2)
    margin = (high - low) * 0.06
    low, high = low - margin, high + margin

    def y(value: float) -> float:
        return round(TOP + (high - value) / (high - low) * (HEIGHT - TOP - BOTTOM), 1)

    ends = (min(values), max(values))
    step = (width - left - right) / max(len(values) - 1, 1)
    points = [
        Point(round(left + number * step, 1), y(value), bool(told and told.outside(value)))
        for number, value in enumerate(values)
    ]
    return {
        "box": f"0 0 {width} {HEIGHT}",
        "left": left,
        "right": width - right,
        "label_x": width - right + 8,
        "value_x": left - 8,
        "date_y": HEIGHT - 8,
        "lines": [Line(key, _written(level), y(level)) for key, level in levels],
        "scale": [Line("", _written(value), y(value)) for value in sorted({*ends, 0.0})],
        "points": points,
        "way": " ".join(f"{one.x},{one.y}" for one in points),
        "first": found.readings[0].on,
        "last": found.readings[-1].on,
    }


def _written(value: float) -> str:
    return f"{value:.2f}".replace("-", MINUS)


def rows_of_chart(found: Quality) -> list[dict[str, Any]]:
    """The readings as a table, with the range to the one before."""
    rows: list[dict[str, Any]] = []
    before = None
    for one in found.readings:
        outside = bool(found.chart and found.chart.outside(float(one.rise_mm)))
        rows.append(
            {
                "code": codes.grouped(one.code),
                "case": one.code,
                "on": one.on,
                "rise_mm": one.rise_mm,
                "range_mm": None if before is None else abs(one.rise_mm - before),
                "outside": outside,
            }
        )
        before = one.rise_mm
    return rows


def each_words(share: Share) -> str:
    """0.40 a case; or that they are too few."""
    return "too few" if share.each is None else f"{share.each:.2f} a case"


def percent_words(share: Share) -> str:
    return "too few" if share.percent is None else f"{share.percent:.0f} %"


def days_words(days: Days) -> str:
    """12, longest 20; or that they are too few."""
    if days.middle is None:
        return "too few"
    return f"{days.middle:g}, longest {days.longest}"


def of_office(one: OfOffice) -> dict[str, Any]:
    """One row of the table by office: counts beside every figure."""
    return {
        "name": one.name,
        "sent": one.questions.of,
        "questions": one.questions.count,
        "questions_each": each_words(one.questions),
        "missing": one.missing.count,
        "missing_each": each_words(one.missing),
        "delivered": one.remade.of,
        "remade": one.remade.count,
        "remade_percent": percent_words(one.remade),
        "dispatched": len(one.days.days),
        "days": days_words(one.days),
    }


def of_stages(found: Quality) -> list[dict[str, Any]]:
    return [
        {"name": stage.label, "cases": len(days.days), "days": days_words(days)}
        for stage, days in found.stages.items()
    ]


def content(found: Quality) -> bytes:
    """The bytes of the file: every count and figure a line, each with its unit."""
    return csv_file.written(HEAD, _lines(found))


def _lines(found: Quality) -> Iterable[list[str]]:
    for one in found.readings:
        day = one.on.isoformat()
        yield ["pin rise", "", "", one.code, day, "", "", str(one.rise_mm), "mm"]
    if found.chart:
        for what in ("mean", "moving_range", "lower", "upper"):
            value = f"{getattr(found.chart, what):.4f}"
            said = f"pin rise, {what.replace('_', ' ')}"
            yield [said, "", "", "", "", str(len(found.readings)), "", value, "mm"]
    for office in (found.all, *found.offices):
        for said, share in (("questions", office.questions), ("missing items", office.missing)):
            yield _share(said, office.name, share, share.each, "a case")
        yield _share("made again", office.name, office.remade, office.remade.percent, "%")
        yield _days("accepted to dispatched", office.name, "", office.days)
    for stage, days in found.stages.items():
        yield _days("at the stage", "", str(stage.label), days)


def _share(what: str, office: str, share: Share, value: float | None, unit: str) -> list[str]:
    said = "too few" if value is None else f"{value:.2f}"
    return [what, office, "", "", "", str(share.count), str(share.of), said, unit]


def _days(what: str, office: str, stage: str, days: Days) -> list[str]:
    said = "too few" if days.middle is None else f"{days.middle:g}"
    return [what, office, stage, "", "", str(len(days.days)), "", said, "working days, middle"]
