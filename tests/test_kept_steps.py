"""Steps that are kept leave exactly what the steps themselves leave, and never too much."""

import pytest
from django.db import connection, transaction

from labcases.domain import chain, stages
from labcases.enums import Stage
from labcases.models import Case, Organisation
from tests import kept_steps
from tests.factories import OrganisationFactory, world

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _nothing_kept():
    """Begin with nothing kept, and keep nothing of this file for others."""
    if connection.vendor != "sqlite":
        pytest.skip("Steps are kept on SQLite.")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(kept_steps, "_kept", {})
        yield


def place():
    return kept_steps._place


def rows():
    """Every row of every table, and the number that comes next in each."""
    with connection.cursor() as cursor:
        tables = sorted((*connection.introspection.table_names(cursor), "sqlite_sequence"))
        found = {}
        for table in tables:
            cursor.execute(f'SELECT * FROM "{table}" ORDER BY 1')  # noqa: S608  (names of tables)
            found[table] = cursor.fetchall()
    return found


def twice(take):
    """What is there after a test has taken steps, and after the next one has had them repeated."""
    found = []
    for _test in range(2):
        with kept_steps.a_test(lambda: True), transaction.atomic():
            take()
            found.append((rows(), place().taken, place().repeated))
            transaction.set_rollback(True)
    return found


def test_a_repeated_walk_leaves_the_same_rows_and_the_same_next_numbers():
    (first, taken, _), (second, taken_again, repeated) = twice(
        lambda: world().walk().to(Stage.DELIVERED)
    )

    assert len(first["labcases_historyentry"]) > 50
    assert second == first
    assert (taken, repeated) == (taken_again + repeated, taken)
    assert taken_again == 0


def test_a_repeated_walk_gives_back_the_case_and_the_people_as_they_are_stored():
    def take():
        here = world()
        case = here.case_at(Stage.MOUNTING)
        assert case.stage == Stage.MOUNTING
        assert vars(case)["stage_since"] == Case.objects.get(pk=case.pk).stage_since
        assert here.dora.check_password("a quiet bench by the window")
        assert case.office == here.office == Organisation.objects.get(name="Ferry Street Office")
        assert chain.walk(here.laboratory).broken is None

    assert [found[1:] for found in twice(take)][1][0] == 0


def test_what_a_test_wrote_in_between_is_a_place_of_its_own():
    def plain():
        world().walk().to(Stage.SENT)

    def other():
        here = world()
        here.laboratory.name = "Another name"
        here.laboratory.save()
        here.walk().to(Stage.SENT)

    twice(plain)
    (with_it, taken, repeated), _ = twice(other)

    assert "Another name" in str(with_it["labcases_organisation"])
    assert (taken > 0, repeated) == (True, 1)


def test_a_walk_that_is_told_something_else_is_taken():
    twice(lambda: world().case_at(Stage.SENT))
    (_, taken, _), _ = twice(lambda: world().case_at(Stage.SENT, shade="A2"))

    assert taken > 0


def test_on_a_database_with_people_nothing_is_kept():
    def take():
        OrganisationFactory()
        world()

    assert [found[1:] for found in twice(take)] == [(0, 0), (0, 0)]


def test_after_something_was_rolled_back_nothing_is_kept():
    def take():
        here = world()
        with transaction.atomic():
            OrganisationFactory()
            transaction.set_rollback(True)
        here.walk().to(Stage.SENT)

    assert [found[1:] for found in twice(take)] == [(1, 0), (0, 1)]


def test_a_refused_step_is_refused_again_and_leaves_nothing():
    def take():
        walk = world().walk()
        with pytest.raises(stages.Refused):
            walk.move(Stage.SENT, walk.hands.office_desk)
        assert walk.reload().stage == Stage.DRAFT

    (first, _, _), (second, _, _) = twice(take)
    assert first == second


def test_a_test_that_patches_code_walks_by_itself_from_there_on(monkeypatch):
    here = world()
    assert place().taken + place().repeated == 1

    monkeypatch.setattr(stages, "MOVED_BY", dict(stages.MOVED_BY))

    assert here.case_at(Stage.SENT).stage == Stage.SENT
    assert place().taken + place().repeated == 1


def test_the_longest_unused_step_goes_first():
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(kept_steps, "MOST", 1)
        takes = twice(lambda: world().walk())

    assert [found[1:] for found in takes] == [(2, 0), (2, 0)]
