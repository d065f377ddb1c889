"""Each thing is unsaid in its own way, stays readable, and is asked for again by a gate."""

from __future__ import annotations

import pytest

from labcases.domain import checks, gates, ledger, lots, records, taking_back
from labcases.enums import CheckKind, Stage, Thing
from labcases.management.sample import GAP_RECORD
from labcases.management.walk import Walk
from labcases.models import PastMounting, SetUpEntry
from labcases.views._sentences import sentence

WHY = "incident: a cast broke"


@pytest.fixture
def walk(before) -> Walk:
    """A case in final wax, tried in, its wax approved."""
    walk = before(Stage.PROCESSING)
    records.add(case=walk.case, by=walk.hands.technician, values=GAP_RECORD)
    cast = walk.case.casts.create(arch="upper", kind="master", by=walk.hands.technician)
    walk.case.cast_looks.create(cast=cast, state="good", by=walk.hands.technician)
    return walk


def take(walk, *things):
    taking_back.take_back(case=walk.reload(), things=things, by=walk.hands.technician, why=WHY)
    return walk.reload()


def texts(found):
    return [item.text for item in found]


STANDING = set(Thing) - {Thing.RELEASE}


def test_of_everything_only_what_stands_is_named(walk):
    assert set(taking_back.there_is(walk.case, Thing)) == STANDING
    assert taking_back.there_is(take(walk, *Thing), Thing) == []


@pytest.mark.parametrize("thing", sorted(STANDING))
def test_a_thing_takes_back_itself_and_what_belongs_to_it(walk, thing):
    with_it = {Thing.MOUNTING: {Thing.RECORD}, Thing.RECORD: {Thing.MOUNTING}}.get(thing, set())
    lines = walk.case.history.count()

    case = take(walk, thing)

    assert set(taking_back.there_is(case, Thing)) == STANDING - {thing} - with_it
    assert case.history.count() > lines
    assert WHY in sentence(case.history.order_by("id").last())


def test_the_mounting_is_kept_as_a_past_one_and_the_next_starts_empty(walk):
    case = take(walk, Thing.MOUNTING)

    past = PastMounting.objects.get(case=case)
    assert (past.reason, past.verdict, past.asked) == (WHY, "agreed", "new mounting")
    row = case.mounting
    assert (row.number, row.transfer, row.pin_zero_mm, row.verified_by_method) == (2, "", None, "")
    assert row.casts_inspected is True


def test_a_jaw_record_falls_with_its_mounting(walk):
    case = take(walk, Thing.RECORD)

    assert PastMounting.objects.get(case=case).asked == "new record"
    assert case.mounting.record is None
    assert "Say how the upper cast was transferred." in texts(gates.mounted(case))


def test_lines_of_the_log_are_struck_out_and_stay(walk):
    entries = SetUpEntry.objects.filter(case=walk.case).count()

    case = take(walk, Thing.PASSES, Thing.PARTS, Thing.PIN)

    assert SetUpEntry.objects.filter(case=case).count() == entries
    assert ledger.last_passes(case) == ledger.parts_done(case) == {}
    assert ledger.balance(case).reading_mm is None
    assert case.setup_entries.filter(struck_reason=WHY).count() == 10


def test_checks_are_stale_although_nothing_that_they_stand_on_changed(walk):
    case = take(walk, Thing.CHECKS)

    shown = checks.latest(case, CheckKind.CLEARANCE)
    assert (shown.stale, shown.changed) == (True, [f"taken back: {WHY}"])
    assert texts(gates.clearance_current(case)) == [
        "The clearance check is stale: an input changed. Compute it again."
    ]
    checks.compute(case=case, kind=CheckKind.CLEARANCE, by=walk.hands.technician)
    assert checks.latest(case, CheckKind.CLEARANCE).stale is False


def test_the_verdict_on_a_try_in_is_asked_for_again_and_the_dentist_may_waive_it(walk):
    case = take(walk, Thing.TRY_IN)

    (lack,) = gates.try_in_answered(case)
    assert lack.text == (
        "The verdict on try-in 1 was taken back: incident: a cast broke. Hand over for another "
        "one, or let the dentist waive it with a reason."
    )
    assert lack.passable == gates.DENTIST
    assert case.try_ins.last().outcome == "approved"


def test_the_approval_of_the_wax_falls_with_the_trimming_and_the_measures_stay(walk):
    case = take(walk, Thing.WAX)

    said = texts(gates.wax_approved(case))
    assert "The dentist has not approved the final wax." in said
    assert case.final_wax.trimming_approved is False
    assert case.final_wax.flange_kind == "full flange"
    assert case.final_wax.approved_photographs == []


def test_what_was_read_at_the_remount_is_taken_out_and_lots_stay(before):
    walk = before(Stage.DISPATCHED)

    case = take(walk, Thing.RELEASE)

    row = case.release
    assert (row.agent, row.second_look_at) == ("", None)
    assert {line.struck_reason for line in case.remount_entries.all()} == {WHY}
    assert case.remount_check.answers == {}
    assert lots.lacking(case) == []
    assert "Enter the pin rise found at the remount." in texts(gates.remount_done(case))


def test_where_nothing_stands_nothing_is_written(before):
    walk = before(Stage.ACCEPTED)
    lines = walk.case.history.count()

    case = take(walk, *Thing)

    assert case.history.count() == lines
    assert not PastMounting.objects.filter(case=case).exists()
