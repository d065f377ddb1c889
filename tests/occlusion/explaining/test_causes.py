"""What may be the cause of marks, how far it is looked for, and whose tooth it is."""

import numpy as np
import pytest

from occlusion.errors import OutOfRange
from occlusion.explaining import possible_causes
from occlusion.spread import Measured
from tests.occlusion.bench import settings_of, symmetric
from tests.occlusion.explaining.passes import SETTINGS, arches


def by_name(**more):
    return {one.name: one for one in possible_causes(SETTINGS, (), **more)}


def test_every_setting_of_the_bench_may_be_the_cause_side_by_side():
    assert list(by_name()) == [
        "condylar_inclination_deg.right",
        "condylar_inclination_deg.left",
        "bennett_deg.right",
        "bennett_deg.left",
        "incisal_table_deg",
        "lateral_wing_deg.right",
        "lateral_wing_deg.left",
        "pin_opening_mm",
    ]


def test_a_setting_is_looked_for_within_its_hard_limits():
    found = by_name()

    table, wing = found["incisal_table_deg"], found["lateral_wing_deg.left"]
    assert (table.value, table.low, table.high) == (3.0, -3.0, 15.0)
    assert (wing.value, wing.low, wing.high) == (4.0, -4.0, 15.0)
    assert (found["bennett_deg.right"].low, found["pin_opening_mm"].low) == (-10.0, -1.5)


def test_the_deviation_is_that_of_the_reading():
    usual = by_name()
    kept = by_name(readings={"bennett_deg.right": Measured(10.0, 1.959964, "normal")})

    assert usual["condylar_inclination_deg.right"].sd == pytest.approx(5.0 / 3.0**0.5)
    assert usual["incisal_table_deg"].sd == pytest.approx(1.0 / 3.0**0.5)
    assert kept["bennett_deg.right"].sd == pytest.approx(1.0)
    assert kept["bennett_deg.left"].sd == usual["bennett_deg.left"].sd


def test_a_reading_without_an_error_is_no_cause():
    assert list(by_name(half_widths={"incisal_table_deg": 1.0, "bennett_deg": 0.0})) == [
        "incisal_table_deg"
    ]


def test_changes_hold_nothing_changed_and_both_ends():
    for cause in possible_causes(settings_of(symmetric(0, 0)), ()):
        nodes = cause.nodes()

        assert 0.0 in nodes
        assert (nodes[0], nodes[-1]) == pytest.approx((cause.low, cause.high))
        assert (np.diff(nodes) > 0.0).all()


def test_a_change_is_made_on_its_own_side_and_refused_beyond_the_hard_limit():
    cause = by_name()["condylar_inclination_deg.left"]

    changed = cause.applied(SETTINGS, 4.0)
    assert (changed.right.inclination_deg, changed.left.inclination_deg) == (30.0, 34.0)
    with pytest.raises(OutOfRange):
        cause.applied(SETTINGS, 60.0)


def test_a_natural_tooth_may_be_a_cause_and_is_never_one_to_work_on():
    built = arches(natural=("17",))
    found = {one.tooth: one for one in possible_causes(SETTINGS, (*built.upper, *built.lower))}

    assert (found["16"].kind, found["16"].chosen.tooth) == ("denture tooth", "16")
    for tooth in ("17", "46"):
        assert (found[tooth].kind, found[tooth].chosen) == ("natural tooth", None)
    assert (found["16"].value, found["16"].unit, found["16"].side) == (None, "mm", "")


def test_a_tooth_of_the_opposing_denture_is_measured_again_and_not_re_set():
    built = arches()
    found = {
        one.tooth: one
        for one in possible_causes(SETTINGS, (*built.upper, *built.lower), own=["14", "15"])
    }

    assert (found["14"].kind, found["14"].chosen.tooth) == ("denture tooth", "14")
    assert (found["16"].kind, found["16"].chosen) == ("opposing denture tooth", None)
    assert (found["46"].kind, found["46"].chosen) == ("natural tooth", None)
