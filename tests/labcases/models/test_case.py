"""A case, its patient, and the revision that is in force."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import ProtectedError

from labcases import codes
from labcases.domain.versions import save_row
from labcases.enums import ENDS, Stage
from labcases.models import Case, Patient, PatientName, Prescription
from labcases.models.case import LaboratoryStays
from tests.labcases.models.limits import second_row_refused

pytestmark = pytest.mark.django_db


def test_a_code_belongs_to_one_case_and_a_patient_code_to_one_patient_of_an_office(cast, case):
    parts = {"office": case.office, "laboratory": case.laboratory, "patient": case.patient}

    second_row_refused(Case, code=case.code, **parts)
    second_row_refused(Patient, office=case.office, code=case.patient.code)
    Patient.objects.create(office=cast.other_office, code=case.patient.code)
    Case.objects.create(code=codes.new_code(), **parts)


def test_a_patient_has_one_name_and_its_row_does_not_show_it(case):
    row = PatientName.objects.get(patient=case.patient)

    assert row.name == "Agnes Dunmore"
    assert str(row) == "name held by the office"
    assert "Agnes" not in f"{case} {case.patient}"
    second_row_refused(PatientName, patient=case.patient, name="Bertil Aske")


@pytest.mark.parametrize(("field", "value"), [("code", "7Q2K9A3BC4DJ"), ("stage", "somewhere")])
def test_a_case_is_cleaned(case, field, value):
    setattr(case, field, value)

    with pytest.raises(ValidationError) as refused:
        case.full_clean()

    assert set(refused.value.message_dict) == {field}


def test_a_patient_code_is_no_name(case):
    with pytest.raises(ValidationError, match="not a name"):
        Patient(office=case.office, code="Agnes Dunmore").full_clean()


@pytest.mark.parametrize("stage", Stage)
def test_a_case_is_open_until_its_end(stage):
    assert Case(stage=stage).is_open == (stage not in ENDS)
    assert [str(end) for end in ENDS] == ["closed", "declined", "cancelled"]


def revisions(case: Case, *statuses: str) -> Case:
    case.prescriptions.all().delete()
    for number, status in enumerate(statuses, 1):
        Prescription.objects.create(case=case, revision=number, status=status)
    return Case.objects.get(pk=case.pk)


@pytest.mark.parametrize(
    ("statuses", "in_force", "draft"),
    [
        (("draft",), 1, 1),
        (("signed",), 1, None),
        (("signed", "draft"), 1, 2),
        (("replaced", "signed"), 2, None),
        (("replaced", "replaced", "signed", "draft"), 3, 4),
    ],
)
def test_the_last_signed_revision_is_in_force(case, statuses, in_force, draft):
    found = revisions(case, *statuses)

    assert found.prescription.revision == in_force
    assert (found.draft_revision.revision if found.draft_revision else None) == draft


def test_nothing_that_a_case_hangs_on_is_erased(cast, case):
    for row in (cast.office, cast.laboratory, case.patient, cast.dora, case):
        with pytest.raises(ProtectedError):
            row.delete()


def test_cases_come_by_surgery_day(cast, case):
    later = cast.walk(patient_code="P-2", surgery_in_days=200).case
    sooner = cast.walk(patient_code="P-3", surgery_in_days=5).case

    assert list(Case.objects.all()) == [sooner, case, later]


STAYS = (
    "A case stays with its laboratory: its history is chained there. Open a new case at the other "
    "laboratory, and say why in its instructions."
)


def test_a_case_stays_with_its_laboratory(cast, case):
    moved = Case.objects.get(pk=case.pk)
    moved.laboratory = cast.other_laboratory
    for act in (
        moved.save,
        lambda: Case.objects.filter(pk=case.pk).update(laboratory=cast.other_laboratory),
        lambda: Case.objects.filter(pk=case.pk).update(laboratory_id=cast.other_laboratory.pk),
        lambda: Case.objects.bulk_update([moved], ["laboratory"]),
        lambda: save_row(
            row=case,
            version=case.version,
            by=cast.mona,
            case=case,
            part="case",
            values={"laboratory": cast.other_laboratory},
        ),
    ):
        with pytest.raises(LaboratoryStays) as told, transaction.atomic():
            act()
        assert str(told.value) == STAYS
    case.refresh_from_db()
    assert case.laboratory == cast.laboratory
    case.tray_number = "T1"
    case.save()
