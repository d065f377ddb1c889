"""What a try-in sends back, and what no longer counts then."""

import pytest

from labcases.domain import ledger, sending_back, tryin
from labcases.enums import Stage, TryInOutcome
from labcases.management.sample_tryin import judged
from labcases.models import Case
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk():
    walk = world().walk()
    walk.to(Stage.TRY_IN)
    return walk


def follows(case, outcome=TryInOutcome.REDO, **answers):
    return sending_back.follows(case, outcome=outcome, answers=answers)


@pytest.mark.parametrize("outcome", ["approved", "approved with changes", "waived"])
def test_an_approval_sends_nothing_back(walk, outcome):
    assert follows(walk.case, outcome, plane="redo") is None


@pytest.mark.parametrize(
    ("answers", "to", "again"),
    [
        ({"plane": "redo", "width": "redo"}, "set-up", ["The posterior teeth are set again"]),
        (
            {"plane": "redo", "records": "redo"},
            "settings",
            [
                "The posterior teeth are set again",
                "The check records are taken again, and the settings read from them",
            ],
        ),
        (
            {"stable": "redo", "natural": "redo"},
            "jaw records",
            [
                "The base is made again, and the posterior teeth are set on it",
                "A new impression of the natural teeth and a new jaw record are taken",
            ],
        ),
    ],
)
def test_the_earliest_stage_of_what_is_made_again_counts(walk, answers, to, again):
    told = follows(walk.case, **answers)

    assert (told.to, told.moves) == (to, True)
    assert [redo.text for redo in told.again] == again
    assert told.goes == f"The case goes back to {to}."


def test_what_is_only_measured_again_sends_nothing_back(walk):
    assert follows(walk.case, display="redo", plane="ok") is None


def test_a_new_record_is_made_without_a_line_that_asks_for_it(walk):
    told = follows(walk.case, TryInOutcome.NEW_RECORD, plane="redo")

    assert told.to == "jaw records"
    assert [redo.key for redo in told.again] == ["teeth", "record"]


def test_recording_it_takes_back_what_stood_on_it_and_moves_the_case(walk):
    walk.judge_try_in(TryInOutcome.REDO)

    case = walk.reload()
    assert (case.stage, case.try_ins.get().sent_back_to) == ("set-up", "set-up")
    assert ledger.parts_done(case) == ledger.last_passes(case) == {}
    assert ledger.balance(case).reading_mm is not None
    assert case.mounting.verified_by_method == "foil"
    moved = case.history.filter(part="stage").last()
    assert (moved.act, moved.reason) == ("brought back", "try-in 1")
    struck = case.history.filter(act="struck out").last()
    assert struck.reason == "try-in 1: the posterior teeth are set again"


def test_recorded_later_it_brings_the_case_back_and_the_wax_approval_falls(walk):
    walk.judge_try_in()
    walk.move(Stage.SET_UP, walk.hands.technician)
    walk.set_anterior()
    walk.enter(Stage.FINAL_WAX)
    walk.wax()
    walk.approve_wax()

    walk.judge_try_in(TryInOutcome.NEW_RECORD)

    case = walk.reload()
    assert (case.stage, case.final_wax.approved_at) == ("jaw records", None)


def test_a_case_that_stands_before_it_stays_there(walk):
    Case.objects.filter(pk=walk.case.pk).update(stage=Stage.MOUNTING)

    told = follows(walk.reload(), plane="redo")

    assert (told.to, told.moves) == ("set-up", False)
    assert told.goes == ("The case stays where it is: it stands before what is made again already.")


def test_what_is_flasked_is_not_sent_back(walk):
    Case.objects.filter(pk=walk.case.pk).update(stage=Stage.REMOUNT)
    row = walk.reload().try_ins.get()

    with pytest.raises(sending_back.TooLate, match="The case stands at remount: what is flasked"):
        tryin.record(
            case=walk.case,
            version=row.version,
            by=walk.hands.dentist,
            values=judged("upper", TryInOutcome.REDO),
        )

    assert walk.reload().try_ins.get().outcome == ""


def test_the_next_try_in_needs_the_work_and_another_bench_check(walk):
    walk.judge_try_in(TryInOutcome.REDO)
    walk.set_posterior()
    walk.check_bench()

    walk.move(Stage.TRY_IN, walk.hands.technician)

    first, second = walk.reload().try_ins.all()
    assert (first.bench_check.pk, second.bench_check.pk) == tuple(
        walk.case.bench_checks.values_list("pk", flat=True)
    )
