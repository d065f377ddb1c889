"""A laboratory's own cycles: by a material's instructions, in editions that never change."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from labcases.domain import curing, curing_cycles
from labcases.enums.curing import Technique
from labcases.models import AppendOnly, CuringCycle
from tests.factories import world

pytestmark = [pytest.mark.django_db]

CYCLE = {
    "material": "resin, pink",
    "name": "short",
    "technique": Technique.FLASK,
    "phases": [[20, 100.0]],
    "dwell_minutes": 0,
    "bench_minutes": 20,
    "water_minutes": 10,
    "boiling_start": True,
    "instructions": "leaflet of the resin, March 2026",
}


@pytest.fixture
def here():
    return world()


@pytest.fixture
def row(here):
    return curing_cycles.add(laboratory=here.laboratory, by=here.tomas, values=CYCLE)


def test_it_is_found_by_its_key_and_says_whose_instructions_it_follows(row):
    cycle = curing_cycles.find(f"own-{row.pk}")

    assert cycle.label == "resin, pink, short, edition 1"
    assert curing.in_words(cycle) == "20 min at 100 C (212 F)"
    assert curing.whole(cycle) == (50, 50)
    assert cycle.cited.endswith("as the laboratory cites them: leaflet of the resin, March 2026")


@pytest.mark.parametrize("key", ["", "own-", "own-x", "own-99999", "no such cycle"])
def test_a_key_of_nothing_finds_nothing(row, key):
    assert curing_cycles.find(key) is None


def test_boiling_water_is_not_cautioned_where_the_instructions_say_so(here, row):
    assert not curing_cycles.begins_boiling(curing_cycles.as_cycle(row))
    other = curing_cycles.add(
        laboratory=here.laboratory,
        by=here.tomas,
        values={**CYCLE, "name": "other", "boiling_start": False},
    )
    assert curing_cycles.begins_boiling(curing_cycles.as_cycle(other))


def test_a_change_is_the_next_edition_and_the_first_stays(here, row):
    later = curing_cycles.change(
        row=row,
        by=here.mona,
        values={"phases": curing_cycles.phases_of([(25, Decimal(100)), (5, None)])},
        why="new leaflet",
    )

    assert (later.edition, later.why, later.by) == (2, "new leaflet", here.mona)
    assert curing_cycles.find(f"own-{row.pk}").cure_minutes == 20
    assert curing_cycles.find(f"own-{later.pk}").cure_minutes == 30
    assert [one.edition for one in curing_cycles.editions(row)] == [2, 1]
    assert curing_cycles.last_editions(here.laboratory) == [later]


def test_a_change_wants_a_reason_and_a_difference(here, row):
    with pytest.raises(ValueError, match="Give the reason"):
        curing_cycles.change(row=row, by=here.tomas, values={"bench_minutes": 30}, why=" ")
    with pytest.raises(ValueError, match="Nothing is changed"):
        curing_cycles.change(row=row, by=here.tomas, values={"bench_minutes": 20}, why="x")


def test_of_two_who_change_it_at_once_the_second_is_told(here, row):
    curing_cycles.change(row=row, by=here.mona, values={"bench_minutes": 30}, why="leaflet")

    with pytest.raises(curing_cycles.Overtaken, match="Mona Ridley wrote resin, pink, short, edit"):
        curing_cycles.change(row=row, by=here.tomas, values={"bench_minutes": 40}, why="leaflet")
    with pytest.raises(curing_cycles.Overtaken):
        curing_cycles.add(laboratory=here.laboratory, by=here.tomas, values=CYCLE)


def test_an_edition_is_neither_changed_nor_erased(row):
    with pytest.raises(AppendOnly):
        row.save()
    with pytest.raises(AppendOnly):
        row.delete()
    with pytest.raises(AppendOnly):
        CuringCycle.objects.update(bench_minutes=1)
    with pytest.raises(AppendOnly):
        CuringCycle.objects.all().delete()


def test_own_cycles_stand_before_the_others_and_those_out_of_use_not_at_all(here, row):
    offered = curing_cycles.to_choose(here.laboratory, Technique.FLASK)
    assert [one.key for one in offered] == [
        f"own-{row.pk}",
        *("long with boil", "long without boil", "short", "shortest", "65 and boil"),
        "straight into boiling",
    ]
    assert curing_cycles.to_choose(here.laboratory, Technique.POUR) == []

    curing_cycles.change(row=row, by=here.tomas, values={"in_use": False}, why="resin is gone")
    kept = {one.key for one in curing_cycles.to_choose(here.laboratory, Technique.FLASK)}
    assert not any(key.startswith("own-") for key in kept)
    assert curing_cycles.to_choose(here.other_laboratory, Technique.FLASK)[0].key == offered[1].key


def test_who_keeps_them(here):
    assert [
        curing_cycles.may_keep(one, here.laboratory)
        for one in (here.tomas, here.mona, here.lena, here.dora)
    ] == [True, True, False, False]


@pytest.mark.parametrize("field", ["dwell_minutes", "bench_minutes", "water_minutes"])
def test_more_than_three_days_are_stored_by_nobody(here, field):
    with pytest.raises(IntegrityError), transaction.atomic():
        CuringCycle.objects.create(
            laboratory=here.laboratory, by=here.tomas, **{**CYCLE, field: 4321}
        )
