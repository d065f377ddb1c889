"""Figures of a case as plain values, by literals."""

from __future__ import annotations

from labcases.domain import figures
from labcases.enums import Stage
from tests.factories import world


def test_a_remounted_case_tells_its_ledger_and_its_rise(db):
    told = figures.of_case(world().case_at(Stage.RELEASED))

    ledger, after = told["vertical_ledger"], told["after_processing"]
    assert (ledger["zero_mm"], ledger["reading_mm"], ledger["balanced"]) == ("0", "0", True)
    assert (after["rise_mm"], after["highest_mm"], after["balanced"]) == ("0", "0.4", True)
    assert [step["change_mm"] for step in after["steps"]] == ["0.4", "-0.4"]
    assert {row["tooth"] for row in told["height_budget"]["rows"]} >= {"14", "16"}
