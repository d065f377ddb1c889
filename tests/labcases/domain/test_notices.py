"""Every sender asks the same question: may anything about this case leave by itself?"""

from __future__ import annotations

import pytest

from labcases.domain import case as cases
from labcases.domain import notices, stages
from labcases.enums import Stage
from tests.factories import world

pytestmark = pytest.mark.django_db


@pytest.fixture
def here():
    return world()


def test_of_an_open_case_notices_may_leave(here):
    assert notices.may_be_sent(here.walk().case) is True


def test_not_on_hold_and_again_when_it_goes_on(here):
    case = here.walk().case

    held = cases.hold(case=case, reason="ill", by=here.dora)

    assert notices.may_be_sent(held) is False
    assert notices.may_be_sent(cases.resume(case=held, by=here.dora)) is True


def test_not_after_the_end(here):
    case = here.walk().case

    stages.move(case=case, to=Stage.CANCELLED, by=here.dora, reason="Another denture.")

    assert notices.may_be_sent(case) is False


def test_not_of_a_patient_who_has_died_whichever_case_said_so(here):
    first, second, other = here.walk().case, here.walk().case, here.walk(patient_code="P-2").case
    type(first).objects.filter(pk=first.pk).update(silent=True)
    first.refresh_from_db()

    assert [notices.may_be_sent(one) for one in (first, second, other)] == [False, False, True]
    assert notices.sendable([first, second, other]) == [other]
