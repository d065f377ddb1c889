"""A try-in and a wax of before checklists still say what they said, after the migrations."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from labcases.models import FinalWax, TryIn
from labcases.outputs import tryin_view, wax_view
from tests.labcases.test_migration_of_teeth import named
from tests.labcases.test_migrations import as_it_was, case_of


@pytest.fixture
def before(transactional_db):
    """The tables as they were before the try-in was judged in millimetres."""
    yield from as_it_was(named("_arrangement"))


def test_old_try_ins_and_waxes_are_read_as_they_were(before):
    case = case_of(before)
    before.get_model("labcases", "Prescription").objects.create(case=case, arch="upper")
    before.get_model("labcases", "TryIn").objects.create(
        case=case,
        revision=1,
        outcome="approved",
        vertical_mm="64.5",
        answers={"pin": "ok", "plane": "change"},
    )
    before.get_model("labcases", "FinalWax").objects.create(
        case=case,
        trim_method="one by one",
        trim_labial_mm="1.5",
        flange_decision="full, 2 mm",
        undercut_decision="relieved at 13",
        photographs_sent=True,
    )

    executor = MigrationExecutor(connection)
    executor.migrate(executor.loader.graph.leaf_nodes())

    row = TryIn.objects.get()
    told = tryin_view.recorded(row)
    assert told.open_lines == ["Change: The plane is parallel to the ala-tragus line"]
    assert told.pauses[0].title == "On the bench, before the base leaves"
    assert (row.vertical_mm, row.vertical_rest_mm, row.centric) == (Decimal("64.5"), None, [])
    wax = FinalWax.objects.get()
    assert (wax.flange_decision, wax.undercut_decision) == ("full, 2 mm", "relieved at 13")
    assert (wax.trim_method, wax.trim_labial_mm) == ("one by one", Decimal("1.5"))
    assert (wax.flange_kind, wax.answers) == ("", {})
    assert [one.line for one in wax_view.lists(row.case, wax)] == ["15 open", "17 open"]


@pytest.fixture
def before_the_lines(transactional_db):
    """The tables as they were before an approval named the lines of the trimming."""
    yield from as_it_was(named("_proposal_limits"))


def test_an_old_approval_covers_the_trimming_that_stood_when_it_was_given(before_the_lines):
    case = case_of(before_the_lines)
    user = before_the_lines.get_model("labcases", "User").objects.create(username="tomas")
    given = datetime(2026, 11, 20, 12, tzinfo=UTC)
    entries = before_the_lines.get_model("labcases", "SetUpEntry").objects
    made = {}
    for name, act, day, struck in (
        ("stands", "cast trimmed", 18, None),
        ("struck out later", "cast trimmed", 18, 21),
        ("struck out before", "cast trimmed", 18, 19),
        ("logged later", "cast trimmed", 21, None),
        ("no trimming", "note", 18, None),
    ):
        made[name] = entries.create(
            case=case, by=user, act=act, struck_at=given.replace(day=struck) if struck else None
        )
        entries.filter(pk=made[name].pk).update(at=given.replace(day=day))
    before_the_lines.get_model("labcases", "FinalWax").objects.create(case=case, approved_at=given)

    executor = MigrationExecutor(connection)
    executor.migrate(executor.loader.graph.leaf_nodes())

    assert FinalWax.objects.get().approved_trims == [
        made["stands"].pk,
        made["struck out later"].pk,
    ]
