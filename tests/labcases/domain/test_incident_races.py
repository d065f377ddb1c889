"""Several people report of one case at the same moment: one is written, the others see it."""

from __future__ import annotations

import pytest

from labcases.domain import incident
from labcases.domain.incident import ReportedMeanwhile
from labcases.enums import Stage
from labcases.models import Case, Incident
from tests.factories import world
from tests.labcases.domain.test_incident import told
from tests.labcases.domain.test_turns import at_once

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


def test_of_six_who_report_at_once_one_is_written_and_five_are_told():
    here = world()
    case = here.case_at(Stage.ACCEPTED)
    people, refused = (here.tomas, here.lena, here.mona) * 2, []

    def report(by) -> None:
        try:
            incident.report(
                case=Case.objects.get(pk=case.pk),
                report=told("wrong-box"),
                seen=Stage.ACCEPTED,
                seen_last=0,
                by=by,
            )
        except ReportedMeanwhile as first:
            refused.append(str(first))

    at_once([lambda by=by: report(by) for by in people])

    row = Incident.objects.get()
    assert len(refused) == 5
    assert {text.partition(":")[0] for text in refused} == {
        f"{row.by} reported something of this case first"
    }
