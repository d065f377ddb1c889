"""The bench check: kept, bound to the try-in that goes out, and old once the log changes."""

import pytest

from labcases.domain import bench_check, versions
from labcases.enums import SetUpAct, Stage
from labcases.models import BenchCheck
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.SET_UP)
    return walk


def save(walk, version=0, by=None, **answers):
    return bench_check.save(
        case=walk.reload(),
        version=version,
        by=by or walk.hands.technician,
        values={"answers": answers, "words": {}},
    )


def test_a_check_says_who_looked_and_when(walk):
    row = save(walk, pin="yes")

    assert (row.done_by, row.answers) == (walk.hands.technician, {"pin": "yes"})
    assert row.done_at is not None
    assert bench_check.open_of(walk.reload()) == row
    (entry,) = walk.case.history.filter(part="bench check")
    assert (entry.act, entry.by) == ("entered", walk.hands.technician)


def test_two_who_look_at_once_see_both_answers(walk):
    row = save(walk, pin="yes")
    save(walk, version=row.version, by=walk.hands.manager, pin="no")

    with pytest.raises(versions.EditConflict) as refused:
        save(walk, version=row.version, pin="yes", rings="yes")

    stored = {clash.field: clash.stored for clash in refused.value.clashes}
    assert stored["answers"] == {"pin": "no"}


def test_what_is_open_and_what_is_wrong_is_named(walk):
    row = save(walk, pin="no", rings="yes")
    lines = bench_check.asked(walk.case)

    assert [line.key for line in bench_check.refused(row, lines)] == ["pin"]
    assert [line.key for line in bench_check.silent(row, lines)] == [
        *("lock", "glide", "seat", "centric_bench", "cast")
    ]


def test_a_line_in_the_log_makes_it_old_until_it_is_made_again(walk):
    row = save(walk, pin="yes")
    assert bench_check.outdated_since(walk.reload(), row) is None

    walk.log(SetUpAct.NOTE, note="26 in")

    assert bench_check.outdated_since(walk.reload(), row) is not None
    again = save(walk, version=row.version, pin="yes")
    assert bench_check.outdated_since(walk.reload(), again) is None


def test_the_check_goes_out_with_its_try_in_and_the_next_starts_empty(walk):
    walk.prepare(Stage.TRY_IN)
    walk.enter(Stage.TRY_IN)

    row = walk.reload().try_ins.get()
    assert row.bench_check.answers["seat"] == "yes"
    assert bench_check.open_of(walk.case) is None
    assert bench_check.shown(walk.case) == row.bench_check

    save(walk, pin="no")
    assert BenchCheck.objects.count() == 2
    row.refresh_from_db()
    assert row.bench_check.answers["pin"] == "yes"
