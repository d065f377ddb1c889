"""A case that may be another patient's is frozen until two people have read both codes again."""

from __future__ import annotations

import pytest

from labcases import codes
from labcases.domain import case as cases
from labcases.domain import identity, incident
from labcases.domain.identity import LookedAlready, OtherIdentifiers
from labcases.domain.stages import Refused
from labcases.enums import Stage
from tests.labcases.domain.test_incident import report


@pytest.fixture
def doubt(before, cast):
    walk = before(Stage.MOUNTING)
    return walk, report(walk, "wrong-patient", cast.tomas)


def look(walk, row, by, case_code="", patient_code=""):
    return identity.confirm(
        incident=type(row).objects.get(pk=row.pk),
        case_code=case_code or codes.grouped(walk.case.code),
        patient_code=patient_code or walk.case.patient.code,
        by=by,
    )


def test_it_is_on_hold_and_goes_nowhere(doubt, cast):
    walk, row = doubt

    assert walk.reload().on_hold is True
    with pytest.raises(Refused):
        walk.move(Stage.MOUNTING, cast.tomas)
    with pytest.raises(cases.StillFrozen, match="Two people have still to read"):
        cases.resume(case=walk.reload(), by=cast.mona)
    with pytest.raises(incident.NotReportable, match="Until then the report stays open"):
        incident.close(incident=row, done="Fine.", by=cast.mona)
    with pytest.raises(incident.NotReportable):
        incident.strike(incident=row, reason="No.", by=cast.mona)


def test_two_of_the_laboratory_are_not_enough(doubt, cast):
    walk, row = doubt
    look(walk, row, cast.tomas)
    look(walk, row, cast.mona)

    assert identity.doubts(walk.reload()) == [row]
    assert identity.lacks(row) == (
        "One person has still to read case code and patient code again, at the office."
    )
    look(walk, row, cast.farah)
    assert identity.doubts(walk.reload()) == []
    assert cases.resume(case=walk.reload(), by=cast.mona).on_hold is False


def test_the_same_person_twice_is_one(doubt, cast):
    walk, row = doubt
    look(walk, row, cast.farah)

    with pytest.raises(LookedAlready, match="Another person reads both codes again"):
        look(walk, row, cast.farah)

    assert identity.lacks(row) == "One person has still to read case code and patient code again."


@pytest.mark.parametrize(
    ("case_code", "patient_code", "sentence"),
    [
        ("22222222222A", "", "You read 22222222222A, and that is not the code of this case. "),
        ("7Q2K-9O3B", "", "A case code never holds O."),
        ("", "P-9", "You read P-9, and that is not the patient code of this case. "),
    ],
)
def test_other_codes_leave_the_doubt(doubt, cast, case_code, patient_code, sentence):
    walk, row = doubt

    with pytest.raises(OtherIdentifiers) as refused:
        look(walk, row, cast.farah, case_code, patient_code)

    assert sentence in str(refused.value)
    assert row.looks.count() == 0


def test_a_case_that_was_held_before_keeps_its_reason(before, cast):
    walk = before(Stage.MOUNTING)
    cases.hold(case=walk.reload(), reason="The patient is ill.", by=cast.farah)

    report(walk, "wrong-patient", cast.farah)

    assert walk.reload().hold_reason == "The patient is ill."
