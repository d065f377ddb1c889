"""What processing starts from stays as it was frozen."""

import pytest

from labcases.enums import Stage
from labcases.outputs import handoff_view
from tests.factories import world

pytestmark = pytest.mark.django_db


def test_the_frozen_record_does_not_follow_later_settings():
    walk = world().walk()
    case = walk.to(Stage.PROCESSING)
    record = case.articulator
    record.condylar_right_deg = 44
    record.save()
    found = handoff_view.frozen(case.handoffs.get(), "ISO 3950")
    told = {row["label"]: row["value"] for row in found.settings}
    assert told["Condylar inclination, right condyle"] == "30\N{NO-BREAK SPACE}deg"
    assert told["Intercondylar distance"] == "110\N{NO-BREAK SPACE}mm"
    assert told["Incisal table on"] == "Lower member"
    assert "Pin point, forward of the axis" not in told


def test_the_frozen_check_is_the_one_that_was_kept():
    case = world().case_at(Stage.PROCESSING)
    handoff = case.handoffs.get()
    found = handoff_view.frozen(handoff, "Universal")
    kept = handoff.frozen["findings"]["clearance"]["excursions"][0]["teeth"]
    assert [row.tooth for row in found.clearance["excursions"][0].rows] == [
        row["tooth"] for row in kept
    ]
    assert found.clearance["excursions"][0].rows[0].label == "2"


def test_the_settings_stand_in_two_columns():
    found = handoff_view.frozen(world().case_at(Stage.PROCESSING).handoffs.get(), "ISO 3950")
    left, right = found.settings_halves
    assert left + right == found.settings
    assert abs(len(left) - len(right)) <= 1


def test_a_handoff_without_a_check_shows_no_findings():
    handoff = world().case_at(Stage.PROCESSING).handoffs.get()
    handoff.frozen = {"inputs": {}, "findings": {}}
    found = handoff_view.frozen(handoff, "ISO 3950")
    assert (found.clearance, found.settings) == (None, [])
