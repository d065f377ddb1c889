"""Rows of complaints: they never change, and an outcome belongs to closing."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from labcases.models import AppendOnly, Complaint, ComplaintEntry
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

DAY = date(2026, 3, 6)


@pytest.fixture
def row(db):
    here = world()
    return Complaint.objects.create(
        case=here.walk().case,
        by=here.dora,
        gravity="complaint",
        text="It rocks.",
        known_on=DAY,
        reporter="dentist",
        concern="denture",
        reported_from="office",
    )


def test_what_was_said_stays(row):
    with pytest.raises(AppendOnly, match="Write a further entry instead"):
        Complaint.objects.filter(pk=row.pk).update(text="nothing")
    with pytest.raises(AppendOnly, match="never erased"):
        ComplaintEntry.objects.all().delete()


@pytest.mark.parametrize(("act", "outcome"), [("closed", ""), ("looked", "use")])
def test_an_outcome_belongs_to_closing_and_to_nothing_else(row, act, outcome):
    with pytest.raises(IntegrityError), transaction.atomic():
        row.entries.create(by=row.by, act=act, happened_on=DAY, outcome=outcome)


def test_a_closed_one_has_its_outcome(row):
    entry = row.entries.create(by=row.by, act="closed", happened_on=DAY, outcome="use")
    assert entry.get_outcome_display() == "Use or wear"
