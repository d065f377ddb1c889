"""What is counted of a laboratory's work: whose, of which period, and by how many questions."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from labcases.domain import quality_reading, question
from labcases.enums import BoxContent, BoxDirection, Side, Stage
from labcases.enums.remount import RemountAct
from labcases.management import walk_remount
from labcases.models import BoxItem, Delivery, Remake
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


@pytest.fixture
def here():
    return world()


def read(here, *, days_ago=0, **more):
    until = timezone.localdate() - timedelta(days=days_ago)
    since = until - timedelta(days=30)
    return quality_reading.read(here.laboratory, since=since, until=until, **more)


def test_the_first_reading_of_each_case_counts_unless_it_was_struck_out(here):
    case = here.walk().to(Stage.SENT)
    for rise in ("0.9", "0.4", "0.1"):
        walk_remount.log(case, here.tomas, RemountAct.PIN_READ, rise_mm=Decimal(rise))
    first = case.remount_entries.order_by("id").first()
    type(first).objects.filter(pk=first.pk).update(struck_at=timezone.now())

    (one,) = read(here).readings
    assert (one.code, one.rise_mm) == (case.code, Decimal("0.40"))
    assert read(here, days_ago=40).readings == ()
    assert read(here).chart is None


def test_questions_and_what_was_missing_are_counted_of_what_was_sent(here):
    walk = here.walk()
    case = walk.to(Stage.SENT)
    here.walk(patient_code="P-2")
    before = read(here).all.questions.count
    for side, by in ((Side.OFFICE, here.tomas), (Side.LABORATORY, here.farah)):
        question.ask(case=case, about="shade", text="Which?", waits_for=side, by=by)
    box = case.boxes.filter(direction=BoxDirection.TO_LABORATORY).first()
    BoxItem.objects.create(box=box, content=BoxContent.CAST, count=3, received_count=1)
    BoxItem.objects.create(box=box, content=BoxContent.TRAY, count=1, received_count=2)

    found = read(here).all
    assert (found.questions.count - before, found.questions.of) == (1, 1)
    assert (found.missing.count, found.missing.of) == (2, 1)
    assert read(here, days_ago=40).all.questions.of == 0


def test_what_was_made_again_is_counted_of_what_was_delivered(here):
    cases = [here.walk(patient_code=f"P-{n}").to(Stage.DRAFT) for n in range(3)]
    for case in cases[:2]:
        Delivery.objects.create(case=case, delivered_on=timezone.localdate())
    Remake.objects.create(case=cases[2], old=cases[0], reason="fit", by=here.dora)

    found = read(here)
    assert (found.all.remade.count, found.all.remade.of) == (1, 2)
    assert [one.name for one in found.offices] == ["Ferry Street Office"]
    assert read(here, office=here.other_office.pk).all.remade.of == 0
    elsewhere = quality_reading.read(
        here.other_laboratory, since=timezone.localdate(), until=timezone.localdate()
    )
    assert elsewhere.all.remade.of == 0


def test_days_are_counted_of_what_was_dispatched_by_stage(here):
    here.walk().to(Stage.DISPATCHED)
    found = read(here)
    assert found.all.days.days == (0,)
    assert Stage.PROCESSING in found.stages


def test_a_handful_of_questions_however_many_cases(here):
    def asked():
        with CaptureQueriesContext(connection) as told:
            read(here)
        return len(told)

    here.walk().to(Stage.SENT)
    one = asked()
    for code in ("P-8", "P-9"):
        here.walk(patient_code=code).to(Stage.SENT)
    assert asked() == one
    assert one <= 8
