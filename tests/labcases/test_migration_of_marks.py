"""Passes that were logged with their teeth alone have a mark for each of them afterwards."""

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from tests.labcases.test_migration_of_teeth import named
from tests.labcases.test_migrations import as_it_was, case_of


@pytest.fixture
def before(transactional_db):
    """The tables while marks were there and old passes had none."""
    yield from as_it_was(named("_foil_marks"))


def test_each_tooth_of_an_old_pass_is_a_mark_and_other_lines_have_none(before):
    case = case_of(before)
    by = before.get_model("labcases", "User").objects.create(username="tomas", full_name="Tomas")
    entries = before.get_model("labcases", "SetUpEntry").objects
    old = entries.create(case=case, by=by, act="pass", movement="centric", teeth=["16", "46"])
    entries.create(case=case, by=by, act="pass", movement="protrusive", teeth=[])
    entries.create(case=case, by=by, act="tooth set", teeth=["16"])
    new = entries.create(case=case, by=by, act="pass", movement="centric", teeth=["26"])
    before.get_model("labcases", "Mark").objects.create(entry=new, tooth="26", strength="heavy")

    executor = MigrationExecutor(connection)
    executor.migrate([named("_marks_of_old_passes")])

    apps = executor.loader.project_state([named("_marks_of_old_passes")]).apps
    marks = apps.get_model("labcases", "Mark").objects
    assert sorted(marks.values_list("entry", "tooth", "strength", "cusps")) == [
        (old.pk, "16", "", ""),
        (old.pk, "46", "", ""),
        (new.pk, "26", "heavy", ""),
    ]
