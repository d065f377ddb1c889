"""The sentences that go with an answer: what was followed, what guided, what is too shallow."""

import dataclasses

import pytest

from occlusion.clearance import AskedExcursion, FormReading, surface_clearance
from occlusion.front import FrontGuidance
from occlusion.spread import draws_of
from tests.occlusion.clearance.faces import (
    MATCHED,
    THREE,
    settings,
    sphere_under_facet,
    sphere_under_ridge,
)

FORWARD = AskedExcursion(kind="protrusive", travel_mm=3.0, steps=30)


def check(surfaces=None, asked=(FORWARD,), bench=MATCHED, **options):
    return surface_clearance(
        settings=settings(bench),
        asked=asked,
        surfaces=surfaces or sphere_under_ridge(name="16"),
        **options,
    )


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (
            FORWARD,
            "Protrusion is followed until the leading condyle has gone 3.00 mm forward, "
            "in 30 steps.",
        ),
        (
            AskedExcursion(kind="right", travel_mm=2.5, travel_along="path", steps=10),
            "The right excursion is followed until the leading condyle has gone 2.50 mm along "
            "its path, in 10 steps.",
        ),
        (
            AskedExcursion(kind="left", blend=0.25, travel_mm=2.0, steps=5),
            "The left excursion, 25 % of the way to protrusion, is followed until the leading "
            "condyle has gone 2.00 mm forward, in 5 steps.",
        ),
    ],
)
def test_each_excursion_is_told_as_it_was_followed(asked, sentence):
    assert sentence in check(asked=[asked]).assumptions


def test_an_opened_pin_is_told_and_a_closed_one_is_not():
    opened = check(bench=dataclasses.replace(MATCHED, opening=1.5)).assumptions

    assert any(
        text.startswith("Gaps are those on the instrument with the pin at 1.5 mm")
        for text in opened
    )
    assert not any("on the instrument" in text for text in check().assumptions)


@pytest.mark.parametrize(
    ("guided_by", "words"),
    [
        ("table", "The incisal table guides; where the front teeth are steeper they lift the pin."),
        ("stone teeth", "The stone teeth guide at 45.0 deg where that is steeper than"),
        (None, "The incisal table guides throughout; front teeth are not looked at."),
    ],
)
def test_what_guides_is_told(guided_by, words):
    front = guided_by and FrontGuidance(guided_by=guided_by, overjet_mm=2.0, overbite_mm=2.0)

    assert any(text.startswith(words) for text in check(front=front).assumptions)


def test_errors_of_forms_are_told_with_their_width():
    def form(name, **half_width):
        return FormReading(name, half_width, gaps, gaps)

    def gaps(member, places, transform):
        return 0.0 * places[:, 0]

    surfaces = dataclasses.replace(
        sphere_under_ridge(name="16"),
        forms=(form("upper cusp", a=5.0, b=0.0, c=1.0), form("lower cusp", a=0.0)),
    )
    drawn = draws_of(settings(MATCHED), half_widths={}, draws=5)
    told = check(surfaces, draws=drawn).assumptions

    assert "The upper cusp may be off by 1 or 5 deg either way, each tooth on its own." in told
    assert "The lower cusp is taken as exact." in told
    assert not any("taken as exact" in text for text in check(surfaces).assumptions)


def told_of(found):
    """Its warnings, but for how far the sphere stands under the ridge when closed."""
    return [one for one in found.warnings if one.code != "apart_when_closed"]


def test_an_interference_smaller_than_callipers_tell_is_warned_of_and_a_deep_one_is_not():
    """The ridge overlaps by 0.198 mm; 0.3 mm is the least that callipers can tell."""
    (warning,) = told_of(check())
    deeper = sphere_under_ridge(name="16", lower_mm=0.2)

    assert warning.code == "calliper_depth_small"
    assert "less than callipers can tell (16)" in warning.text
    assert told_of(check(deeper)) == []
    assert told_of(check(dataclasses.replace(sphere_under_ridge(name="16"), robust=True))) == []


def test_warnings_of_the_front_and_of_the_surfaces_go_first():
    front = FrontGuidance(guided_by="table", overjet_mm=2.0, overbite_mm=2.0, facet_deg=10.0)
    shallow = told_of(check())[0]
    surfaces = dataclasses.replace(
        sphere_under_ridge(name="16"), warnings=(dataclasses.replace(shallow, code="mine"),)
    )
    codes = [one.code for one in told_of(check(surfaces, front=front))]

    assert codes == ["front_readings_disagree", "mine", "calliper_depth_small"]


def test_how_the_arches_stand_when_closed_is_warned_of():
    codes = {}
    for name, raised in (("touching", 0.0), ("apart", 0.8), ("into", -0.5)):
        surfaces = sphere_under_facet(0.0, 0.0, name="16", raised_mm=raised)
        found = surface_clearance(settings=settings(MATCHED), asked=THREE, surfaces=surfaces)
        codes[name] = {one.code: one.text for one in found.warnings}
    away = sphere_under_facet(0.0, 0.0, name="16")
    facing = away.facings[0]
    beside = facing.samples.taken(facing.samples.points_mm[:, 0] > 55.9)
    alone = dataclasses.replace(away, facings=(dataclasses.replace(facing, samples=beside),))
    lonely = surface_clearance(settings=settings(MATCHED), asked=THREE, surfaces=alone)

    assert not {one for one in codes["touching"] if one.endswith("_when_closed")}
    assert "stand 0.80 mm apart when closed" in codes["apart"]["apart_when_closed"]
    assert "overlap when closed, at 16 by up to 0.50 mm" in codes["into"]["overlap_when_closed"]
    (warning,) = [one for one in lonely.warnings if one.code == "no_antagonist"]
    assert "Nothing stands opposite 16 when closed" in warning.text
