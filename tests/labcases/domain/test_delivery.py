"""Recording arrival, surgery and delivery; settling one that nobody reported."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import delivery, desk, queries, stages
from labcases.enums import Side, Stage
from labcases.models import Case, Delivery
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


@pytest.fixture
def dispatched(here):
    return here.case_at(Stage.DISPATCHED)


def ago(case: Case, days: int) -> Case:
    day = timezone.localdate() - timedelta(days=days)
    Case.objects.filter(pk=case.pk).update(surgery_on=day)
    return Case.objects.get(pk=case.pk)


def test_the_desk_settles_it_after_fourteen_days_and_history_says_so(here, dispatched):
    case = ago(dispatched, 14)
    delivery.settle(case=case, by=here.lena, reason="Nobody answered twice.")
    row = Delivery.objects.get()
    assert case.stage == Stage.DELIVERED
    assert (row.reported, row.delivered_on, row.done_by) == (False, case.surgery_on, here.lena)
    assert stages.stage_words(Case.objects.get(pk=case.pk)) == "Delivered, not reported"
    entry = case.history.get(part="delivery")
    assert (entry.act, entry.reason) == ("settled", "Nobody answered twice.")


def test_the_dentist_may_still_report_it(here, dispatched):
    case = ago(dispatched, 20)
    delivery.settle(case=case, by=here.lena, reason="Asked on the telephone.")
    today = timezone.localdate()
    delivery.save(case=case, version=1, by=here.dora, values={"delivered_on": today})
    assert Delivery.objects.get().reported is True
    assert stages.stage_words(Case.objects.get(pk=case.pk)) == "Delivered"


@pytest.mark.parametrize(("days", "sentence"), [(13, "Wait until "), (-3, "Wait until ")])
def test_it_is_not_settled_early(here, dispatched, days, sentence):
    with pytest.raises(delivery.NotYet, match=sentence):
        delivery.settle(case=ago(dispatched, days), by=here.lena, reason="soon")
    assert not Delivery.objects.exists()


def test_it_is_settled_with_words_only(here, dispatched):
    with pytest.raises(ValueError, match="Say how you know"):
        delivery.settle(case=ago(dispatched, 20), by=here.lena, reason=" ")


@pytest.mark.parametrize("name", ["farah", "lena"])
def test_both_desks_read_that_the_report_is_missing(here, dispatched, name):
    case, user = ago(dispatched, 15), getattr(here, name)
    lines = [line for line in queries.open_lines(user) if line.case.pk == case.pk]
    told = [(one.on, one.why) for one in desk.waits(lines)]
    assert (
        Side.OFFICE,
        "Delivered, not reported: the surgery day was 15 days ago.",
    ) in told
