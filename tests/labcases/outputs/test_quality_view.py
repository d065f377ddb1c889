"""The drawing, the words beside the counts, and the file of a laboratory's quality."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal

from labcases.domain import quality
from labcases.domain.quality import Days, Share
from labcases.domain.quality_reading import OfOffice, Quality, Reading
from labcases.enums import Stage
from labcases.outputs import quality_view

RISES = ("0.3", "0.4", "0.3", "0.4", "0.3", "0.4", "0.3", "0.4", "0.3", "0.4", "1.9")
FEW = OfOffice("Quay Office", Share(1, 2), Share(0, 2), Share(0, 0), Days((4,)))
ENOUGH = OfOffice("All offices", Share(2, 5), Share(1, 5), Share(1, 8), Days((4, 9, 5, 6, 6)))


def found(rises=RISES) -> Quality:
    readings = tuple(
        Reading(f"CASE{number:08d}", 1, date(2026, 3, 1), Decimal(rise))
        for number, rise in enumerate(rises)
    )
    chart = quality.limits([float(one.rise_mm) for one in readings])
    return Quality(readings, chart, ENOUGH, (FEW,), {Stage.SET_UP: Days((3, 3, 4, 3, 9))})


def test_the_point_outside_stands_highest_and_is_drawn_otherwise():
    drawn = quality_view.chart(found())
    assert [point.outside for point in drawn["points"]] == [False] * 10 + [True]
    assert min(point.y for point in drawn["points"]) == drawn["points"][-1].y
    assert [line.key for line in drawn["lines"]] == ["zero", "upper", "mean", "lower"]
    heights = {line.key: line.y for line in drawn["lines"]}
    assert heights["upper"] < heights["mean"] < heights["lower"]
    assert drawn["points"][0].x == drawn["left"]
    assert drawn["points"][-1].x == drawn["right"]


def test_too_few_readings_are_drawn_without_limits_and_none_are_not_drawn():
    drawn = quality_view.chart(found(RISES[:9]))
    assert [line.key for line in drawn["lines"]] == ["zero"]
    assert len(drawn["points"]) == 9
    assert [mark.words for mark in drawn["scale"]] == ["0.00", "0.30", "0.40"]
    assert quality_view.chart(found(())) is None
    assert len(quality_view.chart(found(("0.4",)))["points"]) == 1


def test_every_figure_has_its_counts_and_too_few_have_no_figure():
    row = quality_view.of_office(ENOUGH)
    assert (row["questions"], row["sent"], row["questions_each"]) == (2, 5, "0.40 a case")
    assert (row["remade"], row["delivered"], row["remade_percent"]) == (1, 8, "12 %")
    assert (row["dispatched"], row["days"]) == (5, "6, longest 9")
    few = quality_view.of_office(FEW)
    assert {few[key] for key in ("questions_each", "missing_each", "remade_percent", "days")} == {
        "too few"
    }


def test_the_table_tells_the_range_to_the_reading_before():
    rows = quality_view.rows_of_chart(found())
    assert [row["range_mm"] for row in rows[:3]] == [None, Decimal("0.1"), Decimal("0.1")]
    assert rows[0]["code"] == "CASE-0000-0000"


def test_the_file_tells_readings_limits_counts_and_days_with_their_units():
    rows = list(csv.DictReader(io.StringIO(quality_view.content(found()).decode())))
    told = [(row["What"], row["Office"] or row["Stage"], row["Value"], row["Unit"]) for row in rows]
    assert told[0] == ("pin rise", "", "0.3", "mm")
    assert ("pin rise, mean", "", "0.4909", "mm") in told
    assert ("questions", "All offices", "0.40", "a case") in told
    assert ("made again", "Quay Office", "too few", "%") in told
    assert ("at the stage", "Set-up", "3", "working days, middle") in told


def test_the_narrow_drawing_holds_every_reading_in_half_the_width():
    drawn = quality_view.charts(found())
    wide, narrow = drawn["wide"], drawn["narrow"]
    assert (wide["box"], narrow["box"]) == ("0 0 640 240", "0 0 330 240")
    assert len(narrow["points"]) == len(wide["points"])
    assert [one.y for one in narrow["points"]] == [one.y for one in wide["points"]]
    assert (narrow["points"][0].x, narrow["points"][-1].x) == (44, 252)
