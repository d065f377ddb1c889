"""What is minded for people at a step: said for the technique, with how its source was read."""

from __future__ import annotations

import pytest

from labcases.reference import curing, safety


@pytest.mark.parametrize(
    ("step", "technique", "keys"),
    [
        ("wax out", "flask and bath", ["hot wax"]),
        ("packed", "flask and bath", ["monomer"]),
        ("closed", "flask and bath", ["press"]),
        ("in bath", "flask and bath", ["hot bath"]),
        ("in bath", "pour", ["pressure"]),
        ("in bath", "printed", ["light"]),
        ("injected", "injection", ["monomer", "press"]),
        ("poured", "pour", ["monomer"]),
        ("washed", "printed", ["uncured resin"]),
        ("deflasked", "flask and bath", ["deflasking", "dust", "eyes"]),
        ("deflasked", "printed", ["eyes"]),
        ("milled", "milled", ["dust", "eyes"]),
        ("casts", "", ["monomer", "dust", "eyes", "what came"]),
        ("trimming", "", ["dust", "eyes"]),
        ("set-up", "", ["dust", "eyes", "wax and flame"]),
        ("final wax", "", ["wax and flame"]),
        ("remount", "", ["dust", "eyes"]),
        ("finishing", "", ["monomer", "dust", "eyes", "pumice"]),
        ("release", "", ["disinfectant"]),
        ("arrival", "", ["disinfectant"]),
        ("delivery", "", ["dust", "eyes", "patient's eyes", "liner"]),
        ("review", "", ["dust", "eyes", "patient's eyes", "liner"]),
        ("cooled", "flask and bath", []),
    ],
)
def test_each_step_has_what_is_minded_there(step, technique, keys):
    assert [one.key for one in safety.at(step, technique)] == keys


def test_instructions_and_local_codes_go_before_it():
    assert "instructions of the product, its safety sheet and local codes" in safety.first()


@pytest.mark.parametrize(
    ("key", "cited"),
    [
        ("monomer", "within 3 minutes (abstract read)"),
        ("dust", "named among the trades exposed (quoted)"),
        ("pumice", "guards on the lathe (quoted)"),
        ("press", "common practice, no source (from memory)"),
    ],
)
def test_a_source_says_how_it_was_read(key, cited):
    steps = ("packed", "closed", "finishing")
    (one,) = [row for row in safety.of_technique("", steps) if row.key == key]

    assert cited in one.cited


def test_every_step_that_is_named_is_a_step():
    steps = {step.key for way in curing.ways().values() for step in way.steps}
    named = {step for row in safety._file()["rows"] for step in row["at"]}

    assert named - steps == set(safety.PLACES)
