"""How a delivered denture stands: next review, liner, decision, and what the desk is told."""

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import case as cases
from labcases.domain import desk, queries, remaking, review_state, stages
from labcases.enums import Stage
from labcases.enums.reviews import ReviewAct
from labcases.management import walk_review
from labcases.models import Case, DeskRow
from labcases.templatetags.units import due_date, long_date
from tests.factories import world

A = ReviewAct
TODAY = timezone.localdate()


@pytest.fixture
def here(db):
    return world()


@pytest.fixture
def case(here):
    here.office.open_weekdays = "1234567"  # Whatever day it is, no review slides.
    here.office.save()
    case = here.case_at(Stage.DELIVERED)
    # Delivered eight days ago, so that lines may lie behind today.
    type(case.delivery).objects.filter(case=case).update(delivered_on=TODAY - timedelta(days=8))
    return Case.objects.get(pk=case.pk)


def of(case):
    return review_state.of(Case.objects.get(pk=case.pk))


def test_the_next_review_follows_what_is_recorded(here, case):
    assert of(case).next.review.key == "week"
    walk_review.seen(case, here.dora, "week")
    told = of(case)
    assert told.next.review.key == "fortnight"
    assert [row.state for row in told.dues[:4]] == ["missed", "missed", "done", "ahead"]


def test_what_is_made_again_has_no_review_before_the_reline(here, case):
    on = TODAY - timedelta(days=100)
    type(case.delivery).objects.filter(case=case).update(delivered_on=on)
    assert of(case).next.review.key == "reline"
    walk_review.decide(case, here.dora, "remake", signs=["look"], note="wishes other teeth")
    assert of(case).next.review.key == "reline"

    made = remaking.open_remake(case=case, reason="teeth", words="", by=here.dora)

    assert [row.state for row in of(case).dues if row.review.key == "reline"] == ["not needed"]
    assert of(case).next.review.key == "half_year"
    assert not DeskRow.objects.filter(case=case, about="reline").exists()
    (row,) = [one for one in queries.open_lines(here.dora) if one.case == case]
    assert desk.next_review(row).review.key == "half_year"

    stages.move(case=Case.objects.get(pk=made.pk), to=Stage.CANCELLED, by=here.dora, reason="no")
    assert of(case).next.review.key == "reline"
    assert DeskRow.objects.filter(case=case, about="reline").exists()


def test_nothing_is_told_before_the_day_of_delivery_is_known(here):
    assert review_state.of(here.case_at(Stage.RECEIVED)) is None


def test_a_liner_is_in_use_from_its_day_until_it_is_taken_out_or_relined_over(here, case):
    assert of(case).liner is None
    placed = TODAY - timedelta(days=8)
    material = {"product": "conditioner", "lot": "C-3"}
    walk_review.log(
        case, here.dora, A.LINER, liner="tissue conditioner", happened_on=placed, **material
    )
    assert (of(case).liner.placed_on, of(case).liner.state) == (placed, "over")
    walk_review.log(case, here.dora, A.LINER, liner="soft liner", **material)
    assert (of(case).liner.liner.key, of(case).liner.state) == ("soft liner", "good")
    walk_review.log(case, here.dora, A.LINER, liner="none")
    assert of(case).liner is None


def test_a_reline_waits_until_it_is_done_and_ends_the_liner(here, case):
    material = {"product": "resin", "lot": "R-1"}
    walk_review.log(case, here.dora, A.LINER, liner="soft liner", **material)
    walk_review.decide(case, here.dora, "reline", signs=["fit_only"], note="loose")
    assert of(case).waits_for_reline
    walk_review.log(case, here.tomas, A.DONE, decision="reline", **material)
    told = of(case)
    assert (told.waits_for_reline, told.done.lot, told.liner) == (False, "R-1", None)


def test_what_was_seen_is_told_by_what_it_speaks_for():
    told = review_state.speaks_for(["fit_only", "look", "gone"])
    assert {key: [one.key for one in rows] for key, rows in told.items()} == {
        "reline": ["fit_only"],
        "remake": ["look"],
    }


def said(here, case):
    found = queries.open_lines(here.farah)
    return [one.why for one in desk.waits(found) if one.page == "reviews"]


def test_the_desk_is_told_of_a_review_a_liner_and_a_reline(here, case):
    due = of(case).next
    assert said(here, case) == [f"Review due {due_date(due.on)}: one week."]
    placed = TODAY - timedelta(days=8)
    walk_review.log(
        *(case, here.dora, A.LINER),
        **{"liner": "tissue conditioner", "product": "x", "lot": "y", "happened_on": placed},
    )
    walk_review.seen(case, here.dora, "week")
    walk_review.decide(case, here.dora, "rebase", signs=["base_poor"], note="cracked")
    assert said(here, case) == [
        f"Tissue conditioner placed {long_date(placed)} is past its days.",
        "A rebase is decided and not recorded as done.",
    ]


def test_the_day_list_has_the_review_until_a_date_is_booked_for_it(here, case):
    walk_review.seen(case, here.dora, "week")
    due = of(case).next

    def kinds():
        days = desk.days_of(queries.open_lines(here.farah), due.on, 1)
        return [(entry.kind, entry.what) for entry in days[due.on]]

    assert kinds() == [("review", "Review due: two weeks")]
    cases.save_appointment(
        case=case,
        appointment=None,
        version=0,
        by=here.farah,
        values={"kind": "review", "on": due.on, "status": "booked"},
    )
    assert kinds() == [("appointment", "Review (booked)")]
