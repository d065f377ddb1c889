"""Teeth that were ticked as in hand are rows of their parts after the migration."""

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from tests import databases
from tests.labcases.test_migrations import as_it_was, case_of


def named(ending):
    """A migration by what it does; its number depends on what came before."""
    nodes = databases.one_by_one().loader.graph.nodes
    return next(node for node in nodes if node[0] == "labcases" and node[1].endswith(ending))


@pytest.fixture
def before(transactional_db):
    """The tables while a tick stood for every set of a case."""
    yield from as_it_was(named("_teeth_in_hand"))


def test_a_tick_stands_as_a_row_for_each_part_that_is_set(before):
    case, rows = case_of(before), before.get_model("labcases", "Prescription").objects
    stays = dict.fromkeys((f"4{n}" for n in range(1, 4)), "stays")
    for revision, status, arch, teeth in (
        (1, "replaced", "upper", {}),
        (2, "signed", "lower", {**stays, **dict.fromkeys(("31", "32", "33"), "stays")}),
        (3, "draft", "upper", {}),
    ):
        rows.create(case=case, revision=revision, status=status, arch=arch, teeth=teeth)
    before.get_model("labcases", "ToothSelection").objects.create(
        case=case,
        in_hand=True,
        lots="T-118",
        shade="B2",
        material="resin",
        anterior_mould="O-44",
        posterior_mould="20 S",
    )

    executor = MigrationExecutor(connection)
    executor.migrate([named("_selection_without_tick")])

    apps = executor.loader.project_state([named("_selection_without_tick")]).apps
    supplies = apps.get_model("labcases", "TeethSupply").objects
    assert list(
        supplies.values_list("arch", "part", "source", "state", "mould", "shade", "lot", "revision")
    ) == [("lower", "posterior", "here", "in hand", "20 S", "B2", "T-118", 2)]


def test_without_a_tick_nothing_is_in_hand(before):
    case = case_of(before)
    before.get_model("labcases", "Prescription").objects.create(case=case, arch="upper")
    before.get_model("labcases", "ToothSelection").objects.create(case=case, lots="T-118")

    executor = MigrationExecutor(connection)
    executor.migrate([named("_selection_without_tick")])

    apps = executor.loader.project_state([named("_selection_without_tick")]).apps
    assert not apps.get_model("labcases", "TeethSupply").objects.exists()
