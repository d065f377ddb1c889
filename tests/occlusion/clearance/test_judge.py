"""What a row of gaps says, and what doubt and scheme make of it."""

import numpy as np
import pytest

from occlusion.clearance.judge import Told, meets_nothing, state_of, verdict_of
from occlusion.clearance.model import Doubt


def told(*gaps, band=0.1):
    return Told.of(np.array(gaps), band_mm=band)


def doubt(chance):
    return Doubt(sd_mm=0.2, p05_mm=-0.1, p95_mm=0.5, p_interference=chance)


@pytest.mark.parametrize(
    ("gaps", "predicted", "rests_on"),
    [
        ((0.0, 0.05, -0.2, -0.1), "interference", 2),
        ((0.0, 0.05, -0.09, 0.02), "contact", 3),
        ((0.0, 0.05, 0.11, 0.02), "none predicted", 3),
        ((0.0, 0.5, 1.0), "none predicted", 2),
        ((0.0, 0.05, 99.0, 99.0), "none predicted", 1),
        ((0.0, 99.0, 0.3, 99.0), "none predicted", 2),
        ((99.0, 99.0), "none predicted", 1),
        ((0.0, -0.05, 0.02), "contact", 2),
    ],
)
def test_a_path_is_told_by_its_deepest_overlap_or_by_its_end(gaps, predicted, rests_on):
    found = told(*gaps)

    assert (found.predicted, found.rests_on) == (predicted, rests_on)


def test_a_chance_above_five_in_a_hundred_makes_an_interference_possible():
    found = told(0.0, 0.3)

    assert state_of(found, doubt(0.051)) == "interference possible"
    assert state_of(found, doubt(0.049)) == "none predicted"
    assert state_of(found, None) == "none predicted"
    assert state_of(told(0.0, -0.5), doubt(1.0)) == "interference"
    assert state_of(told(0.0, 0.05), doubt(0.051)) == "interference possible"


def test_a_possible_interference_is_against_a_scheme_that_wants_no_contact():
    found = told(0.0, 0.3)
    state = state_of(found, doubt(0.2))

    for scheme, verdict in (("canine", "not as wanted"), ("flat", "scheme silent")):
        assert verdict_of(found, state, scheme=scheme, role="balancing", tooth="16") == verdict


def test_without_scheme_or_tooth_nothing_but_an_interference_is_judged():
    for scheme, role in ((None, "working"), ("balanced", None)):
        quiet = verdict_of(told(0.0, 0.3), "none predicted", scheme=scheme, role=role, tooth="x")
        loud = verdict_of(told(0.0, -0.3), "interference", scheme=scheme, role=role, tooth="x")
        assert (quiet, loud) == ("scheme silent", "not as wanted")


def test_a_region_over_nothing_meets_nothing():
    assert meets_nothing(np.array([99.0, 99.0]))
    assert not meets_nothing(np.array([99.0, 1.0]))
