"""Techniques and cycles as data: whole, with the figures that were read and their sources."""

from __future__ import annotations

import pytest

from labcases.enums import BaseMaterial
from labcases.enums.curing import MaterialUse, Technique
from labcases.models import ProcessingStep
from labcases.reference import curing
from labcases.reference.curing import CLOSED, OFF, ON, OPENED, STARTS


@pytest.mark.parametrize(
    ("key", "phases", "hours", "read"),
    [
        ("long with boil", [(74, 480), (100, 60)], 9, "(quoted)"),
        ("long without boil", [(74, 480)], 8, "(quoted)"),
        ("short", [(74, 120), (100, 60)], 3, "(quoted)"),
        ("shortest", [(74, 90), (100, 30)], 2, "(quoted)"),
        ("65 and boil", [(65, 90), (100, 90)], 3, "(abstract read)"),
        ("straight into boiling", [(100, 30)], 0.5, "(abstract read)"),
        ("injected", [], 0, "not read"),
        ("poured", [], 0, "not read"),
        ("printed", [], 0, "not read"),
    ],
)
def test_a_cycle_has_the_figures_of_its_source_and_says_how_it_was_read(key, phases, hours, read):
    cycle = curing.cycles()[key]

    assert [(phase.celsius, phase.minutes) for phase in cycle.phases] == phases
    assert cycle.cure_minutes == hours * 60
    assert cycle.cited.endswith(read)
    assert cycle.was_read is bool(phases)


def test_there_are_no_other_cycles():
    assert len(curing.cycles()) == 9


def test_press_and_cooling_are_those_that_were_read():
    assert curing.dwell() == (30, 60)
    assert (curing.bench_minutes(), curing.water_minutes()) == (30, 9)
    assert "0 and 6 hours in the press were alike" in curing.dwell_cited()
    assert "quenching changed lengths the most" in curing.cooling_cited()


def test_every_technique_has_its_steps_fields_and_materials():
    ways = curing.ways()

    assert set(ways) == set(Technique)
    assert {way.technique: way.cures for way in ways.values()} == {
        "flask and bath": True,
        "injection": True,
        "pour": True,
        "milled": False,
        "printed": True,
    }
    for way in ways.values():
        roles = {step.role for step in way.steps}
        assert {STARTS, OPENED} <= roles <= {STARTS, CLOSED, ON, OFF, OPENED, ""}
        assert ({ON, OFF} <= roles) is way.cures
        assert set(way.needed) <= set(MaterialUse)
        longest = ProcessingStep._meta.get_field("step").max_length
        assert all(len(step.key) <= longest for step in way.steps)
        assert len({step.key for step in way.steps}) == len(way.steps)


def test_only_what_a_technique_needs_is_asked():
    asked = {way.technique.value: [one.key for one in way.fields] for way in curing.ways().values()}

    assert asked == {
        "flask and bath": ["water", "mix", "dough", "closures", "press", "index"],
        "injection": ["pressure", "water", "index"],
        "pour": ["mould", "mix", "pressure", "index"],
        "milled": ["job", "teeth"],
        "printed": ["job", "layer", "wash", "teeth"],
    }


@pytest.mark.parametrize(
    ("material", "technique"),
    [
        (BaseMaterial.HEAT_CURED, "flask and bath"),
        (BaseMaterial.COLD_CURED, "pour"),
        (BaseMaterial.INJECTED, "injection"),
        (BaseMaterial.MILLED, "milled"),
        (BaseMaterial.PRINTED, "printed"),
        ("", "flask and bath"),
    ],
)
def test_a_material_has_its_usual_technique(material, technique):
    assert curing.usual(material) == technique


@pytest.mark.parametrize("name", ["boiling", "opened", "cured", "closures"])
def test_what_is_said_has_a_source(name):
    told = curing.told(name)

    assert told.text.endswith(".")
    assert told.cited.endswith(")")
