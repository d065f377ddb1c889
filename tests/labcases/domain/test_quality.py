"""Control limits, shares that are too few, and working days by stage."""

from __future__ import annotations

from datetime import date

import pytest

from labcases.domain import quality
from labcases.domain.open_days import Calendar
from labcases.domain.quality import Days, Move, Path, Share
from labcases.enums import Stage
from tests import published

S = Stage


@published.each("individuals_chart")
def test_the_chart_of_single_readings_gives_the_limits_of_the_worked_example(row):
    """The page of the handbook was not read; two public repositories restate its figures."""
    found = quality.individuals([float(text) for text in row["values"].split()])
    within = float(row["tolerance"])

    for name in ("mean", "moving_range", "lower", "upper"):
        assert getattr(found, name) == pytest.approx(float(row[name]), abs=within), name
    assert not found.outside(55.80)
    assert found.outside(55.81)
    assert found.outside(45.81)


def test_readings_that_are_all_alike_have_limits_of_no_width():
    found = quality.individuals([0.4] * 12)
    assert (found.lower, found.mean, found.upper) == pytest.approx((0.4, 0.4, 0.4))


def test_limits_move_with_the_readings_and_scale_with_them():
    plain = quality.individuals([0.2, 0.5, 0.3, 0.9])
    moved = quality.individuals([1.2, 1.5, 1.3, 1.9])
    doubled = quality.individuals([0.4, 1.0, 0.6, 1.8])

    assert moved.upper - 1 == pytest.approx(plain.upper)
    assert doubled.lower == pytest.approx(2 * plain.lower)
    turned = quality.individuals([0.9, 0.3, 0.5, 0.2])
    assert (turned.lower, turned.upper) == pytest.approx((plain.lower, plain.upper))


def test_one_reading_has_no_chart_and_nine_have_no_limits():
    with pytest.raises(ValueError, match="needs two of them at least"):
        quality.individuals([0.4])
    assert quality.limits([0.4, 0.5] * 4 + [0.4]) is None
    assert quality.limits([0.4, 0.5] * 5) is not None


@pytest.mark.parametrize(
    ("count", "of", "each", "percent"),
    [(0, 0, None, None), (4, 4, None, None), (0, 5, 0, 0), (2, 5, 0.4, 40), (9, 6, 1.5, 150)],
)
def test_a_share_of_fewer_than_five_cases_is_its_counts_alone(count, of, each, percent):
    share = Share(count, of)
    assert (share.each, share.percent) == (each, percent)


def test_days_of_fewer_than_five_cases_have_no_middle():
    assert Days((3, 9, 4, 5)).middle is None
    assert (Days((3, 9, 4, 5, 5)).middle, Days((3, 9, 4, 5, 5)).longest) == (5.0, 9)


def way(*moves: tuple[str, Stage]) -> Path:
    return Path(1, 1, tuple(Move(date.fromisoformat(on), to) for on, to in moves))


# Friday 06-Mar-2026, Monday 09-Mar-2026 and so on; the try-in sent it back once.
ONE = way(
    ("2026-03-05", S.SENT),
    ("2026-03-06", S.ACCEPTED),
    ("2026-03-09", S.SET_UP),
    ("2026-03-11", S.TRY_IN),
    ("2026-03-13", S.SET_UP),
    ("2026-03-16", S.FINAL_WAX),
    ("2026-03-20", S.DISPATCHED),
    ("2026-03-23", S.RECEIVED),
)


def test_days_count_from_acceptance_to_dispatch_without_weekends_and_closed_days():
    assert quality.turnaround(ONE) == 10
    closed = Calendar(closed=frozenset({date(2026, 3, 18)}))
    assert quality.turnaround(ONE, closed) == 9
    assert quality.turnaround(way(("2026-03-06", S.ACCEPTED))) is None


def test_all_visits_to_a_stage_count_together_and_the_road_does_not():
    assert quality.by_stage(ONE) == {S.ACCEPTED: 1, S.SET_UP: 3, S.TRY_IN: 2, S.FINAL_WAX: 4}
    assert sum(quality.by_stage(ONE).values()) == quality.turnaround(ONE)


def test_stages_stand_in_the_order_of_the_work():
    found = quality.stages_of([ONE] * 5)
    assert list(found) == [S.ACCEPTED, S.SET_UP, S.TRY_IN, S.FINAL_WAX]
    assert found[S.SET_UP].middle == 3
    assert quality.days_of([ONE, way()]).days == (10,)
