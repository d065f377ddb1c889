"""Limits and words of settings against their tables, from both sides of each."""

import pytest

from occlusion.articulator import CondylarSide
from occlusion.errors import OutOfRange, RecordTooShort
from occlusion.ranges import check_hard, usual, warnings_for
from occlusion.records import PosteriorGap, inclination_from_posterior_gap
from occlusion.reduction.advice import propose
from occlusion.selection.room import UPPER_SIX_TO_LOWER, tooth_sizes
from occlusion.space import site_budget
from occlusion.vertical import shown_mm
from tests import published
from tests.occlusion.bench import M2, at, moved, settings_of, symmetric, tooth
from tests.occlusion.reduction.marks import mark
from tests.occlusion.second_opinion import Move
from tests.published import number

BESIDE = 0.01


def ends(row, kind):
    """Low and high end as far as the table gives them, each with the way out."""
    both = ((number(row, f"{kind}_low"), -BESIDE), (number(row, f"{kind}_high"), BESIDE))
    return [(end, step) for end, step in both if end is not None]


@published.each("limits")
def test_a_limit_is_allowed_itself_and_a_little_beyond_is_not(row):
    name = row["name"]

    assert ends(row, "hard") + ends(row, "usual")
    for end, step in ends(row, "hard"):
        assert check_hard(name, end) == end
        with pytest.raises(OutOfRange):
            check_hard(name, end + step)
    for end, step in ends(row, "usual"):
        assert usual(name, end) is None
        assert usual(name, end + step).code.endswith("_unusual")


def sides_apart(apart):
    settings = settings_of(symmetric(20, 20, bennett=15, wing=20))
    left = CondylarSide(inclination_deg=20.0 + apart, bennett_deg=15.0)
    found = type(settings)(**{**vars(settings), "left": left})
    return [warning.code for warning in warnings_for(found)]


def taken_forward(advance):
    bench = symmetric(30, 10)
    gap = -moved(at(bench, Move("protrusive", advance)), tooth(M2))[2]
    try:
        found = inclination_from_posterior_gap(
            settings=settings_of(bench),
            advance_mm=advance,
            gaps=[PosteriorGap(point_mm=tooth(M2), gap_mm=gap)],
        )
    except RecordTooShort:
        return ["refused"]
    return [warning.code for warning in found.warnings]


def room_of(space):
    found = site_budget(
        tooth="16",
        space_mm=space,
        base_min_mm=1.5,
        tooth_height_mm=4.0,
        shell_over_fossa_mm=3.0,
        shell_min_mm=1.5,
    )
    return [warning.code for warning in found.warnings]


def teeth_off_by(correction):
    found = tooth_sizes(upper_mm=35.0 / UPPER_SIX_TO_LOWER - correction, lower_mm=35.0)
    return [found.warning.code] if found.warning else []


SAID = {
    "side shift when not told": lambda _: [
        f"{CondylarSide(inclination_deg=30.0).immediate_side_shift_mm:g}"
    ],
    "sides apart": sides_apart,
    "advance": taken_forward,
    "shown as": lambda gap: [f"{shown_mm(gap):g}"],
    "space": room_of,
    "teeth off by": teeth_off_by,
    "mark of": lambda depth: [propose(mark(depth=depth), budget_mm=3.0).kind],
}


@published.each("setting_bands")
def test_what_is_said_on_either_side_of_a_limit(row):
    assert SAID[row["quantity"]](number(row, "given")) == (
        [row["expected"]] if row["expected"] else []
    )
