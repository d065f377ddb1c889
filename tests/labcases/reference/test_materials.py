"""Pour times and gypsum as data: the figures that were read, typed here once more."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from labcases.reference import materials

D = Decimal
READ_ON = date(2026, 11, 27)

#: Material -> earliest, best and latest minutes, and how the latest was read.
POURED = {
    "alginate": (None, D(12), D(30), "abstract read"),
    "extended-pour alginate": (None, None, None, "read in part"),
    "polysulfide": (None, None, None, "not read"),
    "condensation silicone": (None, None, None, "not read"),
    "addition silicone": (D(0), None, None, "not read"),
    "polyether": (None, None, None, "not read"),
    "zinc oxide-eugenol": (None, None, None, "not read"),
    "other": (None, None, None, "not read"),
}

#: Type -> water to 100 g, minutes until it sets, and how the water was read.
GYPSUM = {
    "type 1": (None, None, D("2.5"), D(5), "not read"),
    "type 2": (D(40), D(50), D(3), D(30), "read"),
    "type 3": (D(25), D(30), D(3), D(30), "read"),
    "type 4": (D(19), D(24), D(3), D(30), "read"),
    "type 5": (None, None, D(3), D(30), "not read"),
}


def low(figure):
    return figure.low if figure else None


def figures():
    for one in materials.impression_materials().values():
        yield from (figure for figure in (one.earliest, one.best, one.latest) if figure)
    for kind in materials.gypsum_types().values():
        yield from (kind.water, kind.sets)
    yield from (materials.strength_loss(), materials.separation())


def test_the_pour_times_are_these_and_no_others():
    told = {
        key: (low(one.earliest), low(one.best), low(one.latest), one.latest.how)
        for key, one in materials.impression_materials().items()
    }

    assert told == POURED


def test_the_bands_of_gypsum_are_these_and_no_others():
    told = {
        key: (one.water.low, one.water.high, one.sets.low, one.sets.high, one.water.how)
        for key, one in materials.gypsum_types().items()
    }

    assert told == GYPSUM


def test_strength_separation_and_slack_are_the_figures_that_were_read():
    strength, wait = materials.strength_loss(), materials.separation()

    assert (strength.low, strength.high) == (D(26), D(52))
    assert (wait.low, wait.high) == (D(40), D(45))
    assert materials.slack() == (D("0.1"), "common practice, no source")


@pytest.mark.parametrize("figure", figures(), ids=lambda one: one.cited[:40])
def test_a_figure_has_a_source_and_a_day_or_says_that_it_was_not_read(figure):
    if figure.how == "not read":
        assert (figure.low, figure.source, figure.seen) == (None, "", None)
        assert not figure.counts
    else:
        assert figure.source
        assert figure.seen == READ_ON
        assert figure.cited.endswith(f"({figure.how}, 27-Nov-2026)")


def test_only_the_label_says_how_long_an_extended_pour_alginate_may_wait():
    on_label = {key for key, one in materials.impression_materials().items() if one.latest.on_label}

    assert on_label == {"extended-pour alginate"}


@pytest.mark.parametrize("name", ["impressions.toml", "gypsum.toml"])
def test_every_source_of_a_file_is_used(name):
    told = materials._read(name)
    used = {row["source"] for row in _tables(told) if isinstance(row.get("source"), str)}

    assert used == set(told["sources"])


def _tables(value):
    """Every table of a file, whatever holds it."""
    if isinstance(value, dict):
        yield value
        for one in value.values():
            yield from _tables(one)
    if isinstance(value, list):
        for one in value:
            yield from _tables(one)
