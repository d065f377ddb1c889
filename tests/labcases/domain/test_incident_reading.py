"""The desk asks over every case; the rest is told with the reports themselves (test_incident)."""

from __future__ import annotations

from labcases.domain import incident
from labcases.domain import incident_reading as reading
from labcases.enums import Stage
from labcases.models import Incident, User
from tests.labcases.domain.test_incident import report


def new_to(user: User) -> list[Incident]:
    return [one.row for one in reading.open_to(user) if one.new]


def test_a_case_that_ended_is_still_new_to_the_laboratory_until_it_is_read(before, cast):
    walk = before(Stage.MOUNTING)

    row = report(walk, "surgery-cancelled", cast.dora, "end")

    assert walk.reload().stage == Stage.CANCELLED
    assert new_to(cast.lena) == [row]
    assert new_to(cast.farah) == []
    reading.mark_read(user=cast.lena, incidents=[row])
    assert new_to(cast.lena) == []


def test_what_is_struck_out_is_new_to_nobody(before, cast):
    walk = before(Stage.MOUNTING)
    row = report(walk, "wrong-box", cast.lena)

    incident.strike(incident=row, reason="It was the right one.", by=cast.lena)

    assert new_to(cast.dora) == []
