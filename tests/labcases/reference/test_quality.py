"""Least numbers and the constants of the chart, each with its source."""

from __future__ import annotations

from labcases.reference.quality import counted


def test_numbers_under_which_nothing_but_counts_is_shown():
    told = counted()
    assert (told.least_cases, told.least_points) == (5, 10)
    assert "no source" in told.least_source


def test_the_chart_says_that_its_page_was_not_read():
    told = counted()
    assert (told.spread_of_two, told.times) == (1.128, 3)
    assert "6.3.2.2" in told.chart_source
    assert "not read" in told.chart_source
