"""The dentures of a period: which ones, what is told of them, and whose profile asks."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from labcases.domain import devices, profiles
from labcases.enums import Stage
from labcases.models import DeviceStatement
from tests.factories import world

#: Whose profile asks for the list, typed by hand.
ASKS = """
eu      yes
gb-eng  no
us-ct   no
us-fl   no
us-md   no
us-ms   no
us-mt   no
us-ok   no
us-tx   no
us-wv   no
strict  yes
"""


@pytest.fixture
def here(db):
    return world()


def sent_out(here, days_ago=0, **more):
    until = timezone.localdate() - timedelta(days=days_ago)
    return devices.sent_out(here.laboratory, since=until - timedelta(days=9), until=until, **more)


@pytest.mark.parametrize("line", ASKS.strip().splitlines(), ids=lambda line: line.split()[0])
def test_which_profiles_ask_for_the_list(here, line):
    profile, asks = line.split()
    here.laboratory.profile = profile
    here.office.profile = profile

    assert bool(devices.asks(here.laboratory)) == (asks == "yes")
    assert devices.asks(here.office) == []


def test_the_table_above_names_every_profile():
    assert [line.split()[0] for line in ASKS.strip().splitlines()] == list(profiles.profiles())


def test_what_was_dispatched_is_told_with_its_codes_office_dates_and_statement(here):
    case = here.walk(patient_code="P-77", patient_name="Nobody Told").to(Stage.DISPATCHED)
    here.walk(patient_code="P-78").to(Stage.SENT)
    case.statements.update(struck_at=timezone.now())
    for number in (7, 8):
        DeviceStatement.objects.create(
            case=case, by=here.tomas, number=number, revision=1, kept="10 years"
        )

    (one,) = sent_out(here)
    today = timezone.localdate()
    assert (one.code, one.patient_code, one.office) == (case.code, "P-77", "Ferry Street Office")
    assert one.what == "Upper immediate denture, heat-cured resin"
    assert (one.dispatched_on, one.delivered_on) == (today, None)
    assert (one.statement, one.stated_on) == (8, today)
    assert "Nobody Told" not in str(one)
    assert sent_out(here, days_ago=1) == []
    assert sent_out(here, office=here.other_office.pk) == []
