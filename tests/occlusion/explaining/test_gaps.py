"""Gaps with one thing changed are those of the check asked anew."""

import numpy as np
import pytest

from occlusion.clearance import callipers, surface_clearance
from occlusion.explaining import MOVEMENTS, possible_causes
from tests.occlusion.explaining.passes import ASKED, FRONT, arches, bench, with_change


def asked_anew(built, settings):
    """Least gap of each tooth where it counts, by the clearance check of changed surfaces."""
    found = surface_clearance(
        settings=settings, asked=ASKED, surfaces=callipers.oppose(built), front=FRONT
    )
    counts = {one.movement: (one.watched[0].at, one.counts) for one in bench()[0].moved}
    least = {}
    for excursion in found.excursions:
        at, where = counts[excursion.excursion]
        series = np.array([[s.vertical_mm for s in one.series] for one in excursion.regions])
        least[excursion.excursion] = np.where(where, series[:, at].T, np.inf).min(axis=0)
    return least


def changed_by(name, by):
    """The same from the gaps worked out once, between the nodes on straight lines."""
    gaps, _causes = bench()
    forms = (*gaps.arches.upper, *gaps.arches.lower)
    (cause,) = [one for one in possible_causes(gaps.settings, forms) if one.name == name]
    found = gaps.at(cause)
    between = {
        movement: np.apply_along_axis(lambda g: np.interp(by, found.by, g), 0, those)
        for movement, those in found.gaps_mm.items()
    }
    return {
        one.movement: np.where(one.counts, between[one.movement], np.inf).min(axis=0)
        for one in gaps.moved
    }


@pytest.mark.parametrize(
    ("name", "by"),
    [
        ("condylar_inclination_deg.right", -12.0),
        ("bennett_deg.left", 12.0),
        ("incisal_table_deg", 9.0),
        ("lateral_wing_deg.right", 9.0),
        ("pin_opening_mm", 0.3),
        ("pin_opening_mm", -0.3),
    ],
)
def test_a_changed_setting_moves_gaps_as_the_check_says(name, by):
    gaps, _causes = bench()
    anew = asked_anew(gaps.arches, with_change(name, by))
    found = changed_by(name, by)

    for movement in ("protrusive", "right", "left"):
        near = anew[movement] < 0.5
        assert found[movement][near] == pytest.approx(anew[movement][near], abs=0.03)


def test_a_denture_tooth_set_higher_comes_nearer_by_as_much_in_centric_too():
    gaps, _causes = bench()
    anew = asked_anew(gaps.arches.moved({"16": -0.3}), gaps.settings)
    found, before = changed_by("tooth_height_mm.16", 0.3), changed_by("tooth_height_mm.16", 0.0)

    for movement in ("protrusive", "right", "left"):
        assert found[movement] == pytest.approx(anew[movement], abs=0.03)
    assert (before["centric"] - found["centric"]).round(2).tolist() == [0, 0, 0.3, 0, 0, 0, 0, 0]


def test_what_was_set_against_a_natural_tooth_goes_with_it():
    gaps, _causes = bench()
    anew = asked_anew(arches(heights={"46": 0.4}), gaps.settings)
    found = changed_by("tooth_height_mm.46", 0.4)

    for movement in ("protrusive", "right", "left"):
        assert found[movement] == pytest.approx(anew[movement], abs=0.08)
    assert found["centric"] == pytest.approx(
        changed_by("tooth_height_mm.46", 0.0)["centric"], abs=0.03
    )


def test_as_entered_the_gaps_are_those_of_the_check():
    gaps, _causes = bench()
    anew = asked_anew(gaps.arches, gaps.settings)

    assert [one.movement for one in gaps.moved] == list(MOVEMENTS)
    for one in gaps.moved[1:]:
        least = np.where(one.counts, one.nominal, np.inf).min(axis=0)
        assert least == pytest.approx(anew[one.movement], abs=0.02)
    assert np.abs(gaps.moved[0].nominal).max() < 0.03


def test_what_callipers_tell_badly_is_told_with_more_deviation():
    gaps, _causes = bench()

    for one in gaps.moved:
        assert (one.sd >= 0.05).all()
    # In centric every tooth is set to touch, whatever its form.
    assert gaps.moved[0].sd == pytest.approx(np.full(8, 0.05), abs=0.005)
    assert gaps.moved[1].sd.max() > 0.07
